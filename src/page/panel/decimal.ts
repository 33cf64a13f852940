import { decimalPlaces, multiply, powerOf, roundHalfEven, toDouble, type Rational } from '../../base/rational.ts';
import { floatDigits } from '../../values/float-coding.ts';
import { resolution, scaleFactor } from '../../values/scale.ts';
import type { FloatType, IntegerType } from '../../values/type.ts';
import { superscript } from '../ruler/coding-words.ts';

/** Places behind the point at most; finer codings are rounded for the eye, the octets stay exact. */
const mostPlaces = 7;

/** With so many places, always: `0.50`, `−3.7`. The minus is the typographic one, as wide as a digit. */
export function fixedDecimal(value: Rational, places: number): string {
  const scaled = roundHalfEven(multiply(value, powerOf(10n, places)));
  const digits = (scaled < 0n ? -scaled : scaled).toString().padStart(places + 1, '0');
  const sign = scaled < 0n ? '−' : '';
  return places === 0 ? sign + digits : `${sign}${digits.slice(0, -places)}.${digits.slice(-places)}`;
}

/** Places that show one step of the coding: 2 for 0.01, 5 for 2^-15. */
export function placesOf(type: IntegerType): number {
  const step = resolution(type) ?? scaleFactor(type.scale);
  const exact = decimalPlaces(step.den) ?? mostPlaces;
  const enough = Math.max(0, Math.ceil(-Math.log10(toDouble(step)) - 1e-9));
  return Math.min(exact, Math.max(enough, Math.min(exact, 3)), mostPlaces);
}

/** A number as it stands on a plate, without unit: a fixed count of places, so that nothing jumps. */
export function plateDigits(type: IntegerType | FloatType, value: Rational): string {
  if (type.kind === 'integer') return fixedDecimal(value, placesOf(type));
  const x = toDouble(value);
  if (x === 0) return '0';
  const size = Math.abs(x);
  if (size >= 1e6 || size < 1e-4) return scientific(x);
  const all = floatDigits(type.format, value);
  const short = x.toPrecision(5);
  return (all.length <= short.length ? all : short).replace('-', '−');
}

/** `1.234×10⁻⁷`. */
export function scientific(x: number): string {
  const [mantissa = '', exponent = ''] = x.toExponential(3).split('e');
  return `${mantissa.replace('-', '−')}×10${superscript(Number(exponent))}`;
}

/** Characters that the widest number of the type takes, to keep that room free. */
export function plateWidth(type: IntegerType | FloatType): number {
  if (type.kind === 'float') return 9;
  const { min, max } = type.range;
  return Math.min(14, Math.max(plateDigits(type, min).length, plateDigits(type, max).length));
}
