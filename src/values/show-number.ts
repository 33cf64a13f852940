import { decimalPlaces, multiply, powerOf, roundHalfEven, showRational, type Rational } from '../base/rational.ts';
import { unitSymbol } from '../numbers/units.ts';
import type { PhysicalRange, UnitCode } from './type.ts';

/** Beyond so many characters a number is written with an exponent; a 128-bit integer still fits. */
const longestPlain = 45;

/** Digits that a person reads; more are rounded and marked. */
const readableDigits = 15;

/**
 * The number in digits, exact: `0.3`, `-40`, `2e127`. `parseRational` reads it back. Only a fraction that no decimal
 * ends is rounded, with a leading `≈`.
 */
export function exactNumber(value: Rational): string {
  const places = decimalPlaces(value.den);
  if (places === undefined) return showRational(value);
  const text = showRational(value, places);
  if (text.length <= longestPlain) return text;
  const all = multiply(value, powerOf(10n, places)).num.toString();
  const digits = all.replace(/0+$/, '');
  const exponent = all.length - digits.length - places;
  const short = `${digits}e${exponent}`;
  return short.length < text.length ? short : text;
}

/** As {@link exactNumber}, but a number of more than 15 digits is rounded to that many, with a leading `≈`. */
export function readableNumber(value: Rational): string {
  const exact = exactNumber(value);
  const digits = exact.replace(/e.*$|\./g, '').replace(/^-?0*/, '').length;
  if (value.den === 1n || (digits <= readableDigits && !exact.startsWith('≈'))) return exact;
  const whole = (value.num / value.den).toString().replace('-', '');
  // Places that leave 15 digits: behind the whole part, or behind the zeros that lead a small fraction.
  const places = whole === '0' ? readableDigits + leadingZeros(value) : Math.max(0, readableDigits - whole.length);
  const factor = powerOf(10n, places);
  const rounded = multiply({ num: roundHalfEven(multiply(value, factor)), den: 1n }, powerOf(10n, -places));
  return `≈${exactNumber(rounded)}`;
}

/** With the unit's symbol: `0.5 Hz`; without one for pure numbers. */
export function showQuantity(value: Rational, unit: UnitCode): string {
  return withUnit(readableNumber(value), unit);
}

export function withUnit(number: string, unit: UnitCode): string {
  const symbol = unitSymbol(unit);
  return symbol === '' ? number : `${number} ${symbol}`;
}

/** `0 to 4 Hz`. */
export function showRange(range: PhysicalRange, unit: UnitCode): string {
  return withUnit(`${readableNumber(range.min)} to ${readableNumber(range.max)}`, unit);
}

/** Zeros between the point and the first other digit of a fraction below 1. */
function leadingZeros(value: Rational): number {
  const magnitude = value.num < 0n ? -value.num : value.num;
  let zeros = Math.max(0, value.den.toString().length - magnitude.toString().length - 1);
  while (magnitude * 10n ** BigInt(zeros + 1) < value.den) zeros += 1;
  return zeros;
}
