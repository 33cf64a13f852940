import { compare, divide, multiply, rational, showRational } from '../../base/rational.ts';
import { driveInUnit } from '../../values/drives/unit.ts';
import { placeOf } from '../model.ts';
import { drivenBy } from './driven.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { showQuantity } from '../../values/show-number.ts';

const tone = (clock: string): string => `
id: tone
label: Tone
type: uint16
unit: hertz
range: [0, 9000]
access: [read, write]
needs: encrypted
drive: { kind: phase-accumulator, width: 32, clock: ${clock} }
on-link-loss: { value: 0 }`;

/** Above this part of the clock the image at clock - f is too near to be filtered away. Common practice. */
const usable = rational(2, 5);

export const driveNearNyquist = characteristicRule<{ name: string; highest: string; share: string; clock: string }>(
  {
    code: 'drive-near-nyquist',
    severity: 'note',
    title: 'Frequency close to half the clock',
    why: 'Each frequency f comes with an image at clock - f. Near half the clock the two stand side by side, no filter parts them, and a tone beats.',
    source: 'common practice in direct digital synthesis (from memory): at most 40 % of the clock',
    bad: characteristics(tone('20 kHz')),
    good: characteristics(tone('48 kHz')),
    message: ({ name, highest, share, clock }) =>
      `\`${name}\` goes up to ${highest}, ${share} % of its clock of ${clock}, where at most 40 % come out clean`,
    hint: () => 'raise `clock`, or lower the upper end of the range',
  },
  (characteristic, report) => {
    const driven = drivenBy(characteristic);
    if (driven?.drive.kind !== 'phase-accumulator') return;
    const { type } = driven;
    const { clock } = driveInUnit(driven.drive, type.unit);
    const share = divide(type.range.max, clock);
    // Beyond one half it is `drive-beyond-span`.
    if (compare(share, usable) <= 0 || compare(share, rational(1, 2)) > 0) return;
    report(placeOf(characteristic.where, 'drive'), {
      name: characteristic.id,
      highest: showQuantity(type.range.max, type.unit),
      share: showRational(multiply(share, rational(100)), 1),
      clock: showQuantity(clock, type.unit),
    });
  },
);
