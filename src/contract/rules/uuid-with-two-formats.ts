import { everyCharacteristic, type Characteristic } from '../model.ts';
import type { Uuid } from '../../base/uuid.ts';
import { contractRule } from './rule.ts';
import { sameFormat } from './same-format.ts';
import { services } from './sample.ts';
import { uuidPlace } from './uuid-holders.ts';

const side = (id: string, type: string): string => `
id: ${id}
characteristics:
  - id: ${id}-force
    slot: 32
    type: ${type}
    access: [read]`;

export const uuidWithTwoFormats = contractRule<{ name: string; other: string; uuid: string }>(
  {
    code: 'uuid-with-two-formats',
    severity: 'error',
    title: 'One UUID, two formats',
    why: 'The UUID of a characteristic says how its value is coded. A client that has learned it from one place decodes the other wrong.',
    source: 'Core Vol 3 Part G 3.3.1.3',
    bad: services(side('left', 'uint16'), side('right', 'sint32')),
    good: services(side('left', 'uint16'), side('right', 'uint16')),
    message: ({ name, other, uuid }) => `\`${name}\` and \`${other}\` share the UUID ${uuid}, but not the format`,
    hint: ({ name }) => `give \`${name}\` a UUID or slot of its own, or make the types equal`,
  },
  (contract, report) => {
    const seen = new Map<Uuid, Characteristic>();
    for (const { characteristic } of everyCharacteristic(contract)) {
      const first = seen.get(characteristic.uuid);
      if (first === undefined) {
        seen.set(characteristic.uuid, characteristic);
        continue;
      }
      if (sameFormat(first.type, characteristic.type)) continue;
      report(
        uuidPlace(characteristic.where),
        { name: characteristic.id, other: first.id, uuid: characteristic.uuid },
        { related: [{ message: `\`${first.id}\` has it first`, at: uuidPlace(first.where) }] },
      );
    }
  },
);
