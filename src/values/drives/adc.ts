import { divide, multiply, powerOf, zero } from '../../base/rational.ts';
import { converterEnds } from './dac.ts';
import { highestOf } from './line.ts';
import type { AdcDrive } from './model.ts';
import type { DriveLine } from './outcome.ts';

/**
 * The reading of a straight-binary ADC: value = reading * reference / (2^bits * gain), one step = reference / (2^bits *
 * gain). The ideal converter gives the nearest reading: its transitions lie half a step beside each code. Source: Analog
 * Devices MT-001; Microchip, 12-bit ADC, "Transfer Function" (first transition at 0.5 LSb) and "Result Range".
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
