import { divide, rational, zero } from '../../base/rational.ts';
import { highestOf } from './line.ts';
import type { PwmDutyDrive } from './model.ts';
import type { DriveLine } from './outcome.ts';

/**
 * The compare level of a single-slope PWM counter: the output is on for `level` of `top + 1` counts, so level = duty *
 * (top + 1), 0 is always off and `top + 1` always on. When the counter uses its register to the last count, `top + 1` does
 * not fit the compare register and the output stays off for one count in each period: the drive says so. Source: common
 * practice; the case at the top, for example: single-slope mode of Microchip's TCE timer, "CMPn > TOP" is static high and
 * the highest resolution is PER = MAX - 1.
 */
export function pwmDutyLine(drive: PwmDutyDrive): DriveLine {
  const counts = BigInt(drive.top) + 1n;
  const bits = compareBits(drive.top);
  const fits = counts <= highestOf(bits);
  return {
    slope: divide(rational(counts), drive.full),
    offset: zero,
    lowest: 0n,
    highest: fits ? counts : highestOf(bits),
    word: { name: 'level', bits },
    ends: { low: 'always off', high: fits ? 'always on' : `the highest level of a ${bits}-bit compare register` },
  };
}

/** Counter and compare registers are 8, 16 or 32 bits wide; the narrowest that holds `top`. */
function compareBits(top: number): number {
  return top <= 0xff ? 8 : top <= 0xffff ? 16 : 32;
}
