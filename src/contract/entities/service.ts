import { list, looseList } from '../shapes/composite.ts';
import { byDefault, optional, record, required, whole, type Draft } from '../shapes/record.ts';
import { id, line, truth, uuid, whole as wholeNumber } from '../shapes/scalars.ts';
import { map } from '../shapes/shape.ts';
import { characteristicRecord, slot } from './characteristic.ts';
import { waiveField } from './waiver.ts';

const handlesRecord = record(
  { id: 'handles', called: 'a `handles` mapping', intro: 'Where the attributes of the service stand in the table.' },
  {
    from: optional(
      wholeNumber(1, 0xffff, { hex: true }),
      'the next free handle',
      'Handle of the service declaration.',
      '0x0040',
    ),
    reserve: byDefault(
      wholeNumber(0, 0xffff),
      0,
      '0',
      'Handles kept free behind the service, so that it can grow without moving what follows.',
      '16',
    ),
  },
);

export const serviceRecord = record(
  { id: 'service', called: 'a service', intro: 'Characteristics that belong together.' },
  {
    id: required(id, 'Name, unique among the services.', 'tank'),
    label: optional(line(100), 'the id as words', 'What a person reads.', 'Wave tank'),
    uuid: optional(
      uuid,
      'the next free slot of `uuid-base`',
      'A 16-bit UUID as a hex number, or a 128-bit one.',
      '6b1d0010-0f5e-4c3a-9a77-2f0c5b8e41d0',
    ),
    slot: optional(slot, 'the next free one', 'Pins the slot in `uuid-base`.', '16'),
    secondary: byDefault(
      truth,
      false,
      'false',
      'True for a service that is only there to be included by others.',
      'true',
    ),
    includes: byDefault(
      list(id, 'a list of service ids', { distinct: true }),
      [],
      '[]',
      'Ids of the services that this one includes.',
      '[battery]',
    ),
    handles: byDefault(
      map(whole(handlesRecord), ({ from, reserve }) => ({ from, reserve })),
      { from: undefined, reserve: 0 },
      '{ reserve: 0 }',
      'Pins the place in the table.',
      '{ from: 0x0040, reserve: 16 }',
    ),
    characteristics: required(
      looseList(characteristicRecord, 'a list of characteristics'),
      'The characteristics, in table order.',
      '[{ id: crests, type: uint32, access: [read] }]',
    ),
    waive: waiveField,
  },
);

export type ServiceDraft = Draft<typeof serviceRecord.fields>;
