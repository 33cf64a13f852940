import { compare } from '../../base/rational.ts';
import { driveResolution } from '../../values/drives/drive.ts';
import { placeOf } from '../model.ts';
import { drivenBy } from './driven.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { showQuantity } from '../../values/show-number.ts';

const lamp = (bits: number): string => `
id: lamp
label: Lamp power
type: uint16
scale: { decimal: -1 }
unit: percentage
range: [0, 100]
step: 0.1
access: [read, write]
needs: encrypted
drive: { kind: pwm-duty, bits: ${bits} }
on-link-loss: { value: 0 }`;

export const driveTooCoarse = characteristicRule<{ name: string; finest: string; step: string; kind: string }>(
  {
    code: 'drive-too-coarse',
    severity: 'warning',
    title: 'Drive coarser than the step needed',
    why: 'The coding tells neighbouring values apart, but the register behind it does not: several settings give the same output.',
    source: 'the drives of the contract language',
    bad: characteristics(lamp(8)),
    good: characteristics(lamp(12)),
    message: ({ name, finest, step }) =>
      `the drive of \`${name}\` moves in steps of up to ${finest}, but ${step} is needed`,
    hint: ({ kind }) => `give the ${kind} drive more bits or a faster clock, or write a coarser \`step\``,
  },
  (characteristic, report) => {
    const driven = drivenBy(characteristic);
    if (driven === undefined) return;
    const { drive, type } = driven;
    const finest = driveResolution(drive, type.range, type);
    if (type.step === undefined || compare(finest, type.step) <= 0) return;
    report(
      placeOf(characteristic.where, 'drive'),
      {
        name: characteristic.id,
        finest: showQuantity(finest, type.unit),
        step: showQuantity(type.step, type.unit),
        kind: drive.kind,
      },
      { related: [{ message: 'the step is here', at: placeOf(characteristic.where, 'step') }] },
    );
  },
);
