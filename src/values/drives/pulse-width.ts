import { compare, divide, multiply, subtract } from '../../base/rational.ts';
import { highestOf, nearestWord } from './line.ts';
import type { PulseEnd, PulseWidthDrive } from './model.ts';
import type { DriveLine } from './outcome.ts';

/**
 * The counts of a pulse whose width runs in a straight line from one end of the travel to the other: counts = clock *
 * width. Values beyond the ends are held there, since a servo beyond its travel stalls. Source: common practice of
 * position servos (1 to 2 ms every 20 ms).
 */
export function pulseWidthLine(drive: PulseWidthDrive): DriveLine {
  const rising = compare(drive.from.value, drive.to.value) < 0;
  const [lowEnd, highEnd] = rising ? [drive.from, drive.to] : [drive.to, drive.from];
  const counts = (end: PulseEnd) => multiply(end.width, drive.clock);
  const slope = divide(subtract(counts(highEnd), counts(lowEnd)), subtract(highEnd.value, lowEnd.value));
  const [shortest, longest] = slope.num > 0n ? [lowEnd, highEnd] : [highEnd, lowEnd];
  const top = highestOf(drive.bits);
  const wanted = nearestWord(counts(longest));
  const held = `the longest pulse that ${drive.bits} bits count`;
  const fits = wanted <= top;
  return {
    slope,
    offset: subtract(counts(lowEnd), multiply(slope, lowEnd.value)),
    lowest: nearestWord(counts(shortest)),
    highest: fits ? wanted : top,
    word: { name: 'counts', bits: drive.bits },
    ends: {
      low: fits || longest !== lowEnd ? 'the end of the travel' : held,
      high: fits || longest !== highEnd ? 'the end of the travel' : held,
    },
  };
}
