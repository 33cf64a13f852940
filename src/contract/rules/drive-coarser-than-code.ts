import { compare } from '../../base/rational.ts';
import { driveResolution } from '../../values/drives/drive.ts';
import { placeOf } from '../model.ts';
import { drivenBy } from './driven.ts';
import { integerStep } from './holding.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { showQuantity } from '../../values/show-number.ts';

const level = (type: string): string => `
id: bias
label: Bias voltage
${type}
unit: volt
range: [0, 3]
access: [read, write]
needs: encrypted
drive: { kind: dac, bits: 8, reference: 3.3 }
on-link-loss: { value: 0 }`;

export const driveCoarserThanCode = characteristicRule<{ name: string; finest: string; code: string }>(
  {
    code: 'drive-coarser-than-code',
    severity: 'note',
    title: 'Value finer than its drive',
    why: 'The value that is read back has more digits than the output: what the client sees and what the board does differ by up to half a step of the drive.',
    source: 'the drives of the contract language',
    bad: characteristics(level('type: uint16\nscale: { decimal: -4 }')),
    good: characteristics(level('type: uint8\nscale: { decimal: -1 }')),
    message: ({ name, finest, code }) =>
      `one code of \`${name}\` is ${code}, but its drive moves in steps of up to ${finest}`,
    hint: ({ finest }) => `add \`step\` with ${finest} or more to say that this is meant, or choose a coarser scale`,
  },
  (characteristic, report) => {
    const driven = drivenBy(characteristic);
    // With a step, `drive-too-coarse` compares what matters.
    if (driven === undefined || driven.type.step !== undefined) return;
    const { drive, type } = driven;
    const finest = driveResolution(drive, type.range, type);
    const code = integerStep(type);
    if (compare(finest, code) <= 0) return;
    report(placeOf(characteristic.where, 'drive'), {
      name: characteristic.id,
      finest: showQuantity(finest, type.unit),
      code: showQuantity(code, type.unit),
    });
  },
);
