import { absolute, compare } from '../../base/rational.ts';
import { driveOutput, driveResolution, driveSpan } from '../../values/drives/drive.ts';
import { placeOf } from '../model.ts';
import { drivenBy } from './driven.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { showRange } from '../../values/show-number.ts';

const tone = (range: string): string => `
id: tone
label: Tone
type: uint16
unit: hertz
range: ${range}
access: [read, write]
needs: encrypted
drive: { kind: phase-accumulator, width: 32, clock: 20 kHz }
on-link-loss: { value: 0 }`;

export const driveBeyondSpan = characteristicRule<{ name: string; beyond: string; kind: string; reach: string }>(
  {
    code: 'drive-beyond-span',
    severity: 'error',
    title: 'Range beyond what the drive can do',
    why: 'The board would take the value, hold its output at the end of the span and still report the value asked for. Above half the clock an accumulator even comes out at another, lower frequency.',
    source: 'sampling theorem; the drives of the contract language',
    bad: characteristics(tone('[0, 12000]')),
    good: characteristics(tone('[0, 8000]')),
    message: ({ name, beyond }) => `the range of \`${name}\` is more than its drive can do: ${beyond}`,
    hint: ({ kind, reach }) => `narrow the range to within ${reach}, or change the ${kind} drive`,
  },
  (characteristic, report) => {
    const driven = drivenBy(characteristic);
    if (driven === undefined) return;
    const { drive, type } = driven;
    for (const bound of [type.range.min, type.range.max]) {
      const { limited, error } = driveOutput(drive, bound, type);
      // The last word of a converter or a PWM lies one step below its reference or full on: that is no shortfall.
      if (limited === undefined || compare(absolute(error), driveResolution(drive, type.range, type)) <= 0) continue;
      const reach = driveSpan(drive, type);
      report(
        placeOf(characteristic.where, characteristic.where.keys.has('range') ? 'range' : 'type'),
        { name: characteristic.id, beyond: limited.message, kind: drive.kind, reach: showRange(reach, type.unit) },
        { related: [{ message: 'the drive is here', at: placeOf(characteristic.where, 'drive') }] },
      );
      return;
    }
  },
);
