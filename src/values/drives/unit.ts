import { multiply, one, rational, type Rational } from '../../base/rational.ts';
import { unitByCode } from '../../numbers/units.ts';
import type { UnitCode } from '../type.ts';
import type { Drive } from './model.ts';

const unitless = 0x2700;

/** Units that a clock in hertz can serve, with the seconds that one of them is, or is once in. Assigned Numbers 3.5. */
const seconds: ReadonlyMap<UnitCode, number> = new Map([
  [0x2703, 1], // second
  [0x2760, 60], // minute
  [0x2761, 3600], // hour
  [0x2762, 86_400], // day
]);

const secondsPerTurn: ReadonlyMap<UnitCode, number> = new Map([
  [0x2722, 1], // hertz
  [0x27a8, 60], // revolution per minute
  [0x27af, 60], // beat per minute
  [0x27ba, 60], // step per minute
  [0x27bc, 60], // stroke per minute
]);

/** What a timer counts in this unit: `frequency` for hertz, `period` for seconds; `undefined` for other quantities. */
export function timerQuantity(unit: UnitCode): 'frequency' | 'period' | undefined {
  return secondsPerTurn.has(unit) ? 'frequency' : seconds.has(unit) ? 'period' : undefined;
}

/** Why a value in this unit cannot be driven so; `undefined` when it can. A pure number counts as hertz or seconds. */
export function unitProblem(drive: Drive, unit: UnitCode): string | undefined {
  if (clockFactor(drive, unit) !== undefined) return undefined;
  const found = unitByCode(unit)?.name ?? 'an unknown unit';
  const needed =
    drive.kind === 'timer' && drive.of === 'period'
      ? 'a time (second, minute, hour, day)'
      : 'a frequency (hertz, revolution per minute, beat per minute)';
  return `a ${drive.kind} drive needs ${needed}; this is in ${found}`;
}

/**
 * The same drive with its clock counted in the value's unit, so that no formula needs to know it: a clock of 1 kHz is
 * 60,000 per minute.
 */
export function driveInUnit<D extends Drive>(drive: D, unit: UnitCode): D {
  const factor = clockFactor(drive, unit) ?? one;
  if ((drive.kind !== 'phase-accumulator' && drive.kind !== 'timer') || factor.num === factor.den) return drive;
  return { ...drive, clock: multiply(drive.clock, factor) };
}

/** `undefined` for a unit that the drive cannot serve. Drives whose quantities are in the value's own unit take any. */
function clockFactor(drive: Drive, unit: UnitCode): Rational | undefined {
  if (drive.kind !== 'phase-accumulator' && drive.kind !== 'timer') return one;
  if (unit === unitless) return one;
  const table = drive.kind === 'timer' && drive.of === 'period' ? seconds : secondsPerTurn;
  const factor = table.get(unit);
  return factor === undefined ? undefined : rational(factor);
}
