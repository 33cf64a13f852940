import { bug } from '../../base/bug.ts';
import type { Rational } from '../../base/rational.ts';
import type { PhysicalRange, UnitCode, ValueType } from '../type.ts';
import { lineSpan, valueOnLine, valuePerWord } from './line.ts';
import { driveLine, linearOutcome } from './linear.ts';
import type { Drive } from './model.ts';
import type { DriveOutcome, WordShape } from './outcome.ts';
import { tableOutcome, tableResolution, tableSpan, tableValue, tableWord } from './table.ts';
import { timerOutcome, timerResolution, timerSpan, timerValue, timerWordShapes } from './timer.ts';
import { driveInUnit, unitProblem } from './unit.ts';

const unitless = 0x2700;

/** The widest coded integer that a plan of 64-bit steps takes. */
const widestCode = 64;

/**
 * Why values of this type cannot be driven, as a sentence part; `undefined` when they can. With the drive, also why its
 * quantity and the type's unit do not go together.
 */
export function drivable(type: ValueType, drive?: Drive): string | undefined {
  if (type.kind !== 'integer') {
    const found = type.kind === 'float' ? type.format : type.kind;
    return `a drive counts in whole steps and needs an integer type; this is ${found}`;
  }
  if (type.bits > widestCode) return `a drive takes codes of at most ${widestCode} bits; this type has ${type.bits}`;
  return drive === undefined ? undefined : unitProblem(drive, type.unit);
}

/** Names and widths of the words that the drive sets. An ADC has the one that it reads. */
export function driveWords(drive: Drive): readonly WordShape[] {
  switch (drive.kind) {
    case 'timer':
      return timerWordShapes(drive);
    case 'table':
      return [tableWord(drive)];
    default:
      return [driveLine(drive).word];
  }
}

/**
 * The register words for a value, the value that they really produce, and the error between the two. For an ADC: the
 * reading of an ideal converter at that value. Beyond what the drive can do it gives the end and says so in `limited`.
 *
 * @param physical in the unit of `type`; without a type in hertz or seconds, or the unit of the drive's own quantities
 */
export function driveOutput(drive: Drive, physical: Rational, type?: ValueType): DriveOutcome {
  const unit = unitOf(type);
  const scaled = driveInUnit(drive, unit);
  switch (scaled.kind) {
    case 'timer':
      return timerOutcome(scaled, physical, unit);
    case 'table':
      return tableOutcome(scaled, physical, unit);
    default:
      return linearOutcome(scaled, physical, unit);
  }
}

/** The value that register words stand for, in the unit of `type`; words as `driveWords` orders them. */
export function driveValue(drive: Drive, words: readonly bigint[], type?: ValueType): Rational {
  const scaled = driveInUnit(drive, unitOf(type));
  if (scaled.kind === 'timer') return timerValue(scaled, words);
  const word = words[0];
  bug(word !== undefined, 'no word for a drive');
  return scaled.kind === 'table' ? tableValue(scaled, word) : valueOnLine(driveLine(scaled), word);
}

/** The smallest and largest value that the drive produces; for a timer while it runs. */
export function driveSpan(drive: Drive, type?: ValueType): PhysicalRange {
  const scaled = driveInUnit(drive, unitOf(type));
  switch (scaled.kind) {
    case 'timer':
      return timerSpan(scaled);
    case 'table':
      return tableSpan(scaled);
    default:
      return lineSpan(driveLine(scaled));
  }
}

/**
 * The coarsest step between neighbouring values that the drive produces within `range`, in the unit of `type`. It depends
 * on the range for timers, whose steps grow with frequency, and for tables. Without a range: within the whole span.
 */
export function driveResolution(drive: Drive, range?: PhysicalRange, type?: ValueType): Rational {
  const scaled = driveInUnit(drive, unitOf(type));
  const within = range ?? driveSpan(drive, type);
  switch (scaled.kind) {
    case 'timer':
      return timerResolution(scaled, within);
    case 'table':
      return tableResolution(scaled, within);
    default:
      return valuePerWord(driveLine(scaled));
  }
}

function unitOf(type: ValueType | undefined): UnitCode {
  return type?.kind === 'integer' || type?.kind === 'float' ? type.unit : unitless;
}
