import { equal, fromDouble, type Rational } from '../base/rational.ts';
import { nearestFloat, shortestDecimal } from './float.ts';
import { medfloatValue, nearestMedfloat } from './medfloat.ts';
import { exactNumber } from './show-number.ts';
import type { Coded, FloatFormat, FloatType, Physical, PhysicalRange } from './type.ts';

/** What IEEE 754 and IEEE 11073 floats have in common: a coded form, and a number or the name of a special value. */
export type CodedFloat = Extract<Coded, { readonly kind: 'double' | 'medfloat' }>;

/** The coding nearest to a number, half to even; `undefined` when the format ends before it. */
export function codeFloat(format: FloatFormat, value: Rational): CodedFloat | undefined {
  if (format === 'float32' || format === 'float64') {
    const nearest = nearestFloat(format, value);
    return nearest === undefined ? undefined : { kind: 'double', value: nearest };
  }
  const nearest = nearestMedfloat(format, value);
  return nearest === undefined ? undefined : { kind: 'medfloat', value: nearest };
}

/** The number, exact, or the special value's name; -0 is 0. */
export function floatPhysical(coded: CodedFloat): Extract<Physical, { readonly kind: 'number' | 'special' }> {
  if (coded.kind === 'medfloat') {
    return coded.value.kind === 'special'
      ? { kind: 'special', name: coded.value.name }
      : { kind: 'number', value: medfloatValue(coded.value) };
  }
  if (Number.isFinite(coded.value)) return { kind: 'number', value: fromDouble(coded.value) };
  return { kind: 'special', name: Number.isNaN(coded.value) ? 'NaN' : coded.value > 0 ? '+INFINITY' : '-INFINITY' };
}

/** The coding of a special value; `undefined` for a name that the format does not have. */
export function codeSpecialFloat(format: FloatFormat, name: string): CodedFloat | undefined {
  const special = floatSpecials(format).find((known) => known === name);
  if (special === undefined) return undefined;
  if (format === 'medfloat16' || format === 'medfloat32')
    return { kind: 'medfloat', value: { kind: 'special', name: special } };
  return { kind: 'double', value: special === 'NaN' ? NaN : special === '+INFINITY' ? Infinity : -Infinity };
}

/** Names of a format's special values, in the spelling of IEEE 11073. */
export function floatSpecials(
  format: FloatFormat,
): readonly ('NaN' | 'NRes' | '+INFINITY' | '-INFINITY' | 'reserved')[] {
  return format === 'float32' || format === 'float64'
    ? ['NaN', '+INFINITY', '-INFINITY']
    : ['NaN', 'NRes', '+INFINITY', '-INFINITY', 'reserved'];
}

/** The digits of a number that the format holds: the fewest that are coded as the same number again. */
export function floatDigits(format: FloatFormat, value: Rational): string {
  if (format === 'float32' || format === 'float64') {
    const nearest = nearestFloat(format, value);
    if (nearest !== undefined && equal(fromDouble(nearest), value)) return shortestDecimal(format, nearest);
  }
  return exactNumber(value);
}

/**
 * The range of a float as its format holds the bounds: each bound is the nearest number of the format, so that the
 * float nearest to 0.1 is within a range that ends at 0.1. `undefined` when the type has no range. A bound beyond the
 * format stays as it is.
 */
export function floatRange(type: FloatType): PhysicalRange | undefined {
  if (type.range === undefined) return undefined;
  const inFormat = (bound: Rational): Rational => {
    const coded = codeFloat(type.format, bound);
    const held = coded === undefined ? undefined : floatPhysical(coded);
    return held?.kind === 'number' ? held.value : bound;
  };
  return { min: inFormat(type.range.min), max: inFormat(type.range.max) };
}
