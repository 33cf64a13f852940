import { everyCharacteristic } from '../model.ts';
import { eachRepeat } from './repeats.ts';
import { contractRule } from './rule.ts';
import { sameFormat } from './same-format.ts';
import { services } from './sample.ts';
import { uuidPlace } from './holders.ts';

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
    const all = everyCharacteristic(contract).map(({ characteristic }) => characteristic);
    eachRepeat(
      all,
      ({ uuid }) => uuid,
      (characteristic, first) => {
        if (sameFormat(first.type, characteristic.type)) return;
        report(
          uuidPlace(characteristic.where),
          { name: characteristic.id, other: first.id, uuid: characteristic.uuid },
          { related: [{ message: `\`${first.id}\` has it first`, at: uuidPlace(first.where) }] },
        );
      },
    );
  },
);
