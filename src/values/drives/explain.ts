import {
  absolute,
  compare,
  decimalPlaces,
  multiply,
  powerOf,
  showRational,
  type Rational,
} from '../../base/rational.ts';
import { unitSymbol } from '../../numbers/units.ts';
import { readableNumber, withUnit } from '../show-number.ts';
import type { UnitCode, ValueType } from '../type.ts';
import { drivable, driveOutput } from './drive.ts';
import type { Drive } from './model.ts';
import type { DriveOutcome } from './outcome.ts';

/**
 * One line for a person: `word 0x0001A36E, really ≈0.499999151 Hz, error ≈-0.849 µHz`. Numbers with `≈` are rounded. Behind
 * it stands why, when the value is beyond the drive. For a type that cannot be driven: the reason.
 *
 * @param physical in the type's unit
 */
export function explainDrive(drive: Drive, type: ValueType, physical: Rational): string {
  const reason = drivable(type, drive);
  if (reason !== undefined || type.kind !== 'integer') return reason ?? '';
  const outcome = driveOutput(drive, physical, type);
  const parts = [showWords(drive, outcome), `really ${showProduced(outcome, type.unit)}`];
  parts.push(outcome.error.num === 0n ? 'exact' : `error ${showError(outcome.error, type.unit)}`);
  const line = parts.join(', ');
  return outcome.limited === undefined ? line : `${line}; ${outcome.limited.message}`;
}

function showWords(drive: Drive, outcome: DriveOutcome): string {
  const byName = new Map(outcome.words.map((word) => [word.name, word]));
  if (byName.get('run')?.value === 0n) return 'stopped';
  return outcome.words
    .filter((word) => word.name !== 'run')
    .map(({ name, value, bits }) => {
      if (drive.kind === 'timer' && name === 'prescaler-index')
        return `prescaler ${drive.prescalers[Number(value)] ?? 1}`;
      const hex = value
        .toString(16)
        .toUpperCase()
        .padStart(Math.ceil(bits / 4), '0');
      return `${drive.kind === 'timer' || drive.kind === 'adc' ? name : 'word'} 0x${hex}`;
    })
    .join(', ');
}

/** With as many places as it takes to see the error. */
function showProduced({ produced, error }: DriveOutcome, unit: UnitCode): string {
  if (error.num === 0n) return withUnit(readableNumber(produced), unit);
  return withUnit(decimal(produced, Math.max(0, 2 - exponentOf(error))), unit);
}

/** Three digits, with sign; in SI steps of the unit where it has any. */
function showError(error: Rational, unit: UnitCode): string {
  const exponent = exponentOf(error);
  const symbol = unitSymbol(unit);
  const steps = takesPrefix.has(symbol) ? Math.min(Math.max(Math.ceil(-exponent / 3), 0), prefixes.length - 1) : 0;
  const scaled = multiply(error, powerOf(1000n, steps));
  const text = decimal(scaled, Math.max(0, 2 - exponent - 3 * steps));
  return withSymbol(error.num > 0n ? text.replace(/^≈?/, '$&+') : text, `${prefixes[steps] ?? ''}${symbol}`);
}

/** Rounded to so many places, or whole if two more are enough for that. */
function decimal(value: Rational, places: number): string {
  const all = decimalPlaces(value.den) ?? Infinity;
  return showRational(value, all <= places + 2 ? all : places);
}

function withSymbol(number: string, symbol: string): string {
  return symbol === '' ? number : `${number} ${symbol}`;
}

/** SI Brochure, 9th edition, table 7: one for each step of 1/1000. */
const prefixes = ['', 'm', 'µ', 'n', 'p', 'f', 'a'];

const takesPrefix: ReadonlySet<string> = new Set('Hz s m A V W Ω N Pa J C F T H Wb lm lx cd mol rad'.split(' '));

/** The power of ten of the first digit: -7 for 0.00000085. Not for 0. */
function exponentOf(value: Rational): number {
  const size = absolute(value);
  let exponent = size.num.toString().length - size.den.toString().length;
  if (compare(size, powerOf(10n, exponent)) < 0) exponent -= 1;
  return exponent;
}
