import { actsOnWorld } from '../../values/drives/model.ts';
import { placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

const vent = (access: string): string => `
id: vent
label: Vent opening
type: uint8
unit: percentage
range: [0, 100]
step: 1
access: ${access}
needs: encrypted
notify: { on: change, at-most: 2 Hz }
drive: { kind: pwm-duty, bits: 10 }
on-link-loss: { value: 0 }`;

export const driveNotWritable = characteristicRule<{ name: string; kind: string }>(
  {
    code: 'drive-not-writable',
    severity: 'warning',
    title: 'Drive that no client can set',
    why: 'A drive turns what a client writes into register words; of a value that only the board changes the client would want to know what came of it, not how.',
    source: 'contract language',
    bad: characteristics(vent('[read, notify]').replace('on-link-loss: { value: 0 }', '')),
    good: characteristics(vent('[read, write, notify]')),
    message: ({ name, kind }) => `\`${name}\` has a ${kind} drive, but cannot be written`,
    hint: () => 'add `write` to `access`, or delete `drive` if the board alone sets the value',
  },
  (characteristic, report) => {
    const { drive, where, id } = characteristic;
    if (drive === undefined || !actsOnWorld(drive) || isWritable(characteristic)) return;
    report(placeOf(where, 'drive'), { name: id, kind: drive.kind });
  },
);
