import type { Microseconds } from '../../base/quantity.ts';
import type { AccessWord, Need, NotifyPolicy } from '../model.ts';
import { list } from '../shapes/composite.ts';
import { adoptedName } from '../shapes/names.ts';
import { checkTime, parseTime, rate, time } from '../shapes/quantities.ts';
import { byDefault, optional, record, required, whole, type Draft } from '../shapes/record.ts';
import { id, isPlainWord, isText, line, oneOf, truth, uuid, whole as wholeNumber, word } from '../shapes/scalars.ts';
import { either, map, shape, type Field, type Shape } from '../shapes/shape.ts';
import { outOfBounds, quantityForm } from '../shapes/findings.ts';
import { describe, type Node } from '../tree.ts';
import { drive } from './drive.ts';
import { valueFields } from './value-type.ts';
import { waiveField } from './waiver.ts';

export const accessWords = ['read', 'write', 'write-without-response', 'notify', 'indicate'] as const;
export const needWords = ['open', 'encrypted', 'authenticated', 'secure-connections'] as const;

const accessWord: Shape<AccessWord> = word(accessWords, 'an access word');
const need: Shape<Need> = word(needWords, 'a security level');

const needsRecord = record(
  {
    id: 'needs',
    called: 'a `needs` mapping',
    intro: 'What a link must be before a client may touch the value, by way of access.',
  },
  {
    read: byDefault(need, 'open', 'open', 'For reads.', 'encrypted'),
    write: byDefault(need, 'open', 'open', 'For writes.', 'authenticated'),
    subscribe: optional(need, 'as `read`', 'For switching notifications and indications on.', 'encrypted'),
  },
);

export type Needs = { readonly read: Need; readonly write: Need; readonly subscribe: Need };

const needs: Shape<Needs> = either(
  map(need, (all): Needs => ({ read: all, write: all, subscribe: all })),
  map(whole(needsRecord), ({ read, write, subscribe }): Needs => ({ read, write, subscribe: subscribe ?? read })),
);

type Occasion = NotifyPolicy['on'];

const on: Shape<Occasion> = shape<Occasion>({
  wanted: '`change` or `every TIME`',
  fits: isText,
  read(node, spot) {
    if (!isText(node)) return undefined;
    const every = /^every\s+(.*)$/.exec(node.text)?.[1];
    if (every === undefined) return oneOf(node, ['change'], spot) === undefined ? undefined : { kind: 'change' };
    const value = parseTime(every);
    if (value === undefined) {
      const args = {
        name: spot.name,
        found: describe(node),
        what: 'a period',
        units: ['us', 'ms', 's', 'min', 'h'],
        example: 'every 50 ms',
      };
      spot.report(quantityForm.at(node.at, args));
      return undefined;
    }
    const period = checkTime(value, node, spot, {});
    return period === undefined ? undefined : { kind: 'every', period };
  },
  schema: () => ({ anyOf: [{ enum: ['change'] }, { type: 'string', pattern: '^every\\s+[0-9]' }] }),
});

const notifyRecord = record(
  {
    id: 'notify',
    called: 'a notification policy',
    intro: 'When the board tells subscribed clients the value; holds for notifications and indications.',
  },
  {
    on: byDefault<Occasion>(
      on,
      { kind: 'change' },
      'change',
      'On each change of the value, or every so often.',
      'every 50 ms',
    ),
    'at-most': optional(rate, 'no bound', 'Highest rate. Between two notifications the latest value wins.', '10 Hz'),
  },
);

/** Any value in physical form; what it must be depends on the type. */
export const physicalValue: Shape<Node> = shape<Node>({
  wanted: 'a value',
  fits: (node) => !(node.kind === 'scalar' && node.type === 'null'),
  read: (node) => node,
  schema: () => ({ type: ['boolean', 'number', 'string', 'array', 'object'] }),
});

const lossRecord = record(
  { id: 'on-link-loss', called: 'a safe state', intro: 'What the value becomes when the link to the client is lost.' },
  {
    value: required(physicalValue, 'The safe value, in physical form.', '0'),
    within: byDefault(time(), 0 as Microseconds, '0 s', 'Longest time from the loss to the safe value.', '2 s'),
  },
);

export type LossDraft =
  { readonly kind: 'keep' } | { readonly kind: 'set'; readonly value: Node; readonly within: Microseconds };

const keep = word(['keep'], '`keep`');

const onLinkLoss: Shape<LossDraft> = either<LossDraft, LossDraft>(
  map({ ...keep, fits: (node) => isText(node) && node.text === 'keep' }, () => ({ kind: 'keep' })),
  map(whole(lossRecord), ({ value, within }) => ({ kind: 'set', value, within })),
  // A bare value is a safe value, never a word for letting the actuator run on.
  (node, spot) => (isPlainWord(node) ? (spot.suggest(node.text, ['keep']) ?? `{ value: ${node.text} }`) : undefined),
);

/** An application error, or the common profile's Out of Range. Core Vol 3 Part F 3.4.1.1; CSS Part B 1.2. */
const refusal: Shape<number> = {
  ...map(wholeNumber(0, 0xff, { hex: true }), (code, node, spot) => {
    if (code === 0xff || (code >= 0x80 && code <= 0x9f)) return code;
    const found = node.kind === 'scalar' ? node.text : '';
    const remedy = 'write `0xFF`, the common Out of Range, or a code of your own from 0x80 to 0x9F';
    spot.report(outOfBounds.at(node.at, { name: spot.name, found, min: '0x80', max: '0x9F or 0xFF', remedy }));
    return undefined;
  }),
  wanted: 'an application error 0x80 to 0x9F, or 0xFF',
  schema: () => ({ anyOf: [{ type: 'integer', minimum: 0x80, maximum: 0x9f }, { const: 0xff }] }),
};

export const refuseField: Field<number | undefined> = optional(
  refusal,
  'as the contract says, 0xFF by default',
  'ATT error for a value outside its range: 0xFF (Out of Range), or 0x80 to 0x9F.',
  '0x80',
);

export const slot: Shape<number> = wholeNumber(0, 0xffff);

/** The keys of a characteristic apart from `id` and `adopted`. */
const common = {
  label: optional(
    line(100),
    'the id as words; for an adopted one its assigned name',
    'What a person reads; becomes the user description.',
    'Paddle frequency',
  ),
  ...valueFields,
  access: optional(
    list(accessWord, 'a list of access words', { min: 1, distinct: true }),
    'required unless adopted; then `[read]`, or what the service says',
    'What clients may do: `read`, `write`, `write-without-response`, `notify`, `indicate`.',
    '[read, notify]',
  ),
  needs: byDefault<Needs>(
    needs,
    { read: 'open', write: 'open', subscribe: 'open' },
    'open',
    'What the link must be: `open`, `encrypted`, `authenticated` or `secure-connections`; or one of these for each of `read`, `write` and `subscribe`.',
    '{ read: open, write: encrypted }',
  ),
  notify: optional(
    whole(notifyRecord),
    '`{ on: change }` without a bound',
    'When subscribed clients are told.',
    '{ on: change, at-most: 10 Hz }',
  ),
  start: optional(
    physicalValue,
    '0 or the nearest allowed number, false, the first name, no flags, the shortest text',
    'The value at power-up, in physical form.',
    '0.5',
  ),
  'on-link-loss': optional(
    onLinkLoss,
    'unsaid',
    'What becomes of the value when the link is lost: `keep`, or a safe value.',
    '{ value: 0, within: 2 s }',
  ),
  drive: optional(
    drive,
    'none',
    'Arithmetic between the value and a register of the chip.',
    '{ kind: phase-accumulator, width: 32, clock: 20 kHz }',
  ),
  actuator: optional(
    truth,
    'true if clients can write it and a drive acts on the world',
    'True for what moves, heats, lights or sounds.',
    'true',
  ),
  'refuse-with': refuseField,
  extended: byDefault(
    list(word(['reliable-write', 'writable-description'], 'an extended property'), 'a list of extended properties', {
      distinct: true,
    }),
    [],
    '[]',
    'Extended properties: `reliable-write`, `writable-description` (clients may write the label).',
    '[reliable-write]',
  ),
  waive: waiveField,
};

export const characteristicRecord = record(
  { id: 'characteristic', called: 'a characteristic', intro: 'One value that crosses the air.' },
  {
    id: required(id, 'Name, unique in the contract; also its name on the console.', 'paddle'),
    uuid: optional(
      uuid,
      'the next free slot of `uuid-base`',
      'A 16-bit UUID as a hex number, or a 128-bit one.',
      '6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0',
    ),
    slot: optional(
      slot,
      'the next free one',
      'Pins the slot in `uuid-base`, so that later insertions do not move it.',
      '7',
    ),
    adopted: optional(
      adoptedName,
      'none',
      'Assigned name of an adopted characteristic: gives UUID, type, scale, unit and range.',
      'temperature',
    ),
    ...common,
  },
);

export const usedRecord = record(
  {
    id: 'used-characteristic',
    called: 'a characteristic of an adopted service',
    intro: 'A characteristic in a service of `use`.',
  },
  {
    id: optional(id, 'the assigned name', 'Name, unique in the contract; also its name on the console.', 'outside'),
    adopted: required(adoptedName, 'Assigned name of the characteristic.', 'temperature'),
    ...common,
  },
);

export type CharacteristicDraft = Draft<typeof characteristicRecord.fields>;
export type UsedDraft = Draft<typeof usedRecord.fields>;
