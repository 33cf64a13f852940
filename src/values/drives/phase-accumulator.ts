import { divide, powerOf, zero } from '../../base/rational.ts';
import type { PhaseAccumulatorDrive } from './model.ts';
import type { DriveLine } from './outcome.ts';

/**
 * The tuning word of a phase accumulator (numerically controlled oscillator): word = f * 2^width / clock, so the
 * resolution is clock / 2^width. It ends at half the clock, where a wave still has two samples; a larger word would come
 * out as the alias clock - f. Source: Analog Devices AN-1396 and the AD9833 data sheet (f = FTW * clock / 2^N).
 */
export function phaseAccumulatorLine(drive: PhaseAccumulatorDrive): DriveLine {
  return {
    slope: divide(powerOf(2n, drive.width), drive.clock),
    offset: zero,
    lowest: 0n,
    highest: 1n << BigInt(drive.width - 1),
    word: { name: 'tuning-word', bits: drive.width },
    ends: { low: 'standstill', high: 'half the clock' },
  };
}
