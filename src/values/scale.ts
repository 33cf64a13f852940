import {
  absolute,
  ceiling,
  compare,
  divide,
  floor,
  multiply,
  powerOf,
  rational,
  type Rational,
} from '../base/rational.ts';
import type { IntegerType, PhysicalRange, Scale, ValueType } from './type.ts';

/** Inclusive codes; empty when `min` is above `max`. */
export type CodeRange = { readonly min: bigint; readonly max: bigint };

/** multiplier * 10^decimal * 2^binary: physical = coded * this. GATT Specification Supplement section 2. */
export function scaleFactor(scale: Scale): Rational {
  return multiply(rational(scale.multiplier), multiply(powerOf(10n, scale.decimal), powerOf(2n, scale.binary)));
}

/** All codes of a width, two's complement when signed. */
export function fullRange(bits: number, signed: boolean): CodeRange {
  const size = 1n << BigInt(bits);
  return signed ? { min: -size / 2n, max: size / 2n - 1n } : { min: 0n, max: size - 1n };
}

/** What all codes of a width stand for, in physical units. */
export function fullPhysicalRange(bits: number, signed: boolean, scale: Scale): PhysicalRange {
  const { min, max } = fullRange(bits, signed);
  const factor = scaleFactor(scale);
  const a = multiply(rational(min), factor);
  const b = multiply(rational(max), factor);
  return compare(a, b) <= 0 ? { min: a, max: b } : { min: b, max: a };
}

/**
 * The codes whose physical value lies in the type's range, within the width. Special codes are not taken out. Empty
 * (`min` above `max`) when no code does.
 */
export function codedRange(type: IntegerType): CodeRange {
  const factor = scaleFactor(type.scale);
  const a = divide(type.range.min, factor);
  const b = divide(type.range.max, factor);
  const [low, high] = compare(a, b) <= 0 ? [a, b] : [b, a];
  const full = fullRange(type.bits, type.signed);
  const min = ceiling(low);
  const max = floor(high);
  return { min: min > full.min ? min : full.min, max: max < full.max ? max : full.max };
}

/** The physical difference between neighbouring codes; `undefined` for types that are no scaled integer. */
export function resolution(type: ValueType): Rational | undefined {
  return type.kind === 'integer' ? absolute(scaleFactor(type.scale)) : undefined;
}
