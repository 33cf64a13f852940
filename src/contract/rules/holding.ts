import { absolute, compare, multiply, powerOf, rational, zero, type Rational } from '../../base/rational.ts';
import { fullPhysicalRange, scaleFactor } from '../../values/scale.ts';
import type { FloatFormat, IntegerType, PhysicalRange } from '../../values/type.ts';

/** What numbers a type can hold and how fine, in physical units. */

/** Least and greatest value that the width can code at the type's scale. */
export function heldRange({ bits, signed, scale }: IntegerType): PhysicalRange {
  return fullPhysicalRange(bits, signed, scale);
}

/** The physical distance between neighbouring codes; positive. */
export function integerStep(type: IntegerType): Rational {
  return absolute(scaleFactor(type.scale));
}

/**
 * The names of integer types that hold `range` at the scale, narrowest first; of those that stand alone in whole octets
 * and have a presentation format.
 */
export function integersFor(range: PhysicalRange, type: IntegerType): readonly string[] {
  const widths = [8, 16, 24, 32, 48, 64, 128] as const;
  return widths
    .flatMap((bits) => [
      { bits, signed: false },
      { bits, signed: true },
    ])
    .filter(({ bits, signed }) => covers(heldRange({ ...type, bits, signed }), range))
    .map(({ bits, signed }) => `${signed ? 'sint' : 'uint'}${bits}`);
}

export function covers(outer: PhysicalRange, inner: PhysicalRange): boolean {
  return compare(outer.min, inner.min) <= 0 && compare(outer.max, inner.max) >= 0;
}

type DecimalFormat = { readonly base: 10n; readonly mantissa: bigint; readonly least: number; readonly most: number };
type BinaryFormat = { readonly base: 2n; readonly bits: number; readonly least: number; readonly most: number };

/**
 * Significands and exponents. IEEE 11073-20601 Annex F: mantissas up to 2045 (SFLOAT) and 8 388 605 (FLOAT), the codes
 * above being special values. IEEE 754: `bits` of significand, exponent of the last bit.
 */
const formats: Readonly<Record<FloatFormat, DecimalFormat | BinaryFormat>> = {
  medfloat16: { base: 10n, mantissa: 2045n, least: -8, most: 7 },
  medfloat32: { base: 10n, mantissa: 8_388_605n, least: -128, most: 127 },
  float32: { base: 2n, bits: 24, least: -149, most: 104 },
  float64: { base: 2n, bits: 53, least: -1074, most: 971 },
};

/** The greatest finite number of a float format. */
export function greatest(format: FloatFormat): Rational {
  const shape = formats[format];
  const mantissa = shape.base === 10n ? shape.mantissa : (1n << BigInt(shape.bits)) - 1n;
  return multiply(rational(mantissa), powerOf(shape.base, shape.most));
}

/** The distance between a number of this magnitude and its neighbours in the format. */
export function spacing(format: FloatFormat, magnitude: Rational): Rational {
  const shape = formats[format];
  const mantissa = rational(shape.base === 10n ? shape.mantissa : (1n << BigInt(shape.bits)) - 1n);
  const size = absolute(magnitude);
  let exponent = shape.least;
  while (exponent < shape.most && compare(multiply(mantissa, powerOf(shape.base, exponent)), size) < 0) exponent += 1;
  return powerOf(shape.base, exponent);
}

/** The bound farther from zero. */
export function largestMagnitude(range: PhysicalRange): Rational {
  const low = absolute(range.min);
  const high = absolute(range.max);
  return compare(low, high) > 0 ? low : high;
}

export function contains(range: PhysicalRange, value: Rational): boolean {
  return compare(range.min, value) <= 0 && compare(range.max, value) >= 0;
}

/** The value of the range nearest to zero. */
export function nearestToZero(range: PhysicalRange): Rational {
  if (contains(range, zero)) return zero;
  return compare(range.min, zero) > 0 ? range.min : range.max;
}
