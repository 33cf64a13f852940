import { divide, multiply, powerOf, zero } from '../../base/rational.ts';
import { converterEnds } from './dac.ts';
import { highestOf } from './line.ts';
import type { AdcDrive } from './model.ts';
import type { DriveLine } from './outcome.ts';

/**
 * The reading of a straight-binary ADC: value = reading * reference / (2^bits * gain), one step = reference / (2^bits *
 * gain). The ideal converter gives the nearest reading: its steps lie half a step around each code. Source: Analog Devices
 * MT-001 and MT-228 (from memory for the half-step offset).
 */
export function adcLine(drive: AdcDrive): DriveLine {
  return {
    slope: divide(multiply(powerOf(2n, drive.bits), drive.gain), drive.reference),
    offset: zero,
    lowest: 0n,
    highest: highestOf(drive.bits),
    word: { name: 'reading', bits: drive.bits },
    ends: converterEnds(drive.gain.num > 0n),
  };
}
