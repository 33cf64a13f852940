import { divide, multiply, powerOf, zero } from '../../base/rational.ts';
import { highestOf } from './line.ts';
import type { DacDrive } from './model.ts';
import type { DriveLine } from './outcome.ts';

/**
 * The code of a straight-binary DAC: output = code / 2^bits * reference * gain. The top code is one step short of the
 * full scale. Source: the transfer function of unipolar DACs, for example Texas Instruments DAC80504 data sheet, "DAC
 * transfer function" (output = code / 2^n * reference / divider * gain, code 0 to 2^n - 1).
 */
export function dacLine(drive: DacDrive): DriveLine {
  return {
    slope: divide(powerOf(2n, drive.bits), multiply(drive.reference, drive.gain)),
    offset: zero,
    lowest: 0n,
    highest: highestOf(drive.bits),
    word: { name: 'code', bits: drive.bits },
    ends: converterEnds(drive.gain.num > 0n),
  };
}

/** Names of a converter's ends; an inverting stage turns them round. */
export function converterEnds(upright: boolean): { readonly low: string; readonly high: string } {
  const bottom = 'code 0 of the converter';
  const top = 'the top code of the converter';
  return upright ? { low: bottom, high: top } : { low: top, high: bottom };
}
