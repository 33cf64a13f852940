import {
  absolute,
  divide,
  isInteger,
  multiply,
  powerOf,
  rational,
  roundHalfEven,
  type Rational,
} from '../../base/rational.ts';
import { unitByCode } from '../../numbers/units.ts';
import { fullRange, scaleFactor } from '../../values/scale.ts';
import type { IntegerType } from '../../values/type.ts';
import { smallestFor, type CInteger } from './literal.ts';
import { upper } from './names.ts';

/** A value in a decimal part of its unit, as an integer: thousandths of a hertz. */
export type Scaling = {
  /** Behind the function's name: `in_milli_hertz`. */
  readonly suffix: string;
  /** For comments: `milli hertz`. */
  readonly words: string;
  /** scaled = raw * factor / divisor; the divisor is above 0. */
  readonly factor: bigint;
  readonly divisor: bigint;
  readonly type: CInteger;
  /** What all raw values stand for, scaled; inclusive. */
  readonly least: bigint;
  readonly greatest: bigint;
  /** False where the scaled number is rounded. */
  readonly exact: boolean;
  /** The width that the products need. */
  readonly bits: 32 | 64;
};

const parts = new Map([
  [6, { prefix: 'mega', count: 'millions' }],
  [3, { prefix: 'kilo', count: 'thousands' }],
  [0, { prefix: '', count: '' }],
  [-3, { prefix: 'milli', count: 'thousandths' }],
  [-6, { prefix: 'micro', count: 'millionths' }],
  [-9, { prefix: 'nano', count: 'billionths' }],
  [-12, { prefix: 'pico', count: 'trillionths' }],
]);

const unitless = 0x2700;

/**
 * How the raw value is given in a decimal part of the unit.
 *
 * @returns `undefined` when the raw value is in whole units already, or 64 bits do not hold the products
 */
export function scalingOf(type: IntegerType): Scaling | undefined {
  const size = scaleFactor(type.scale);
  if (type.bits > 64 || (size.num === 1n && size.den === 1n) || size.num === 0n) return undefined;
  const exponents = [...parts.keys()];
  const exponent =
    exponents.find((power) => isInteger(divide(size, powerOf(10n, power)))) ??
    exponents.find((power) => steps(size, power) >= 10n);
  const part = exponent === undefined ? undefined : parts.get(exponent);
  if (exponent === undefined || part === undefined) return undefined;
  const { num, den } = divide(size, powerOf(10n, exponent));
  const codes = fullRange(type.bits, type.signed);
  const ends = [codes.min, codes.max].map((code) => roundHalfEven(multiply(rational(code), rational(num, den))));
  const least = ends.reduce((a, b) => (a < b ? a : b));
  const greatest = ends.reduce((a, b) => (a > b ? a : b));
  const products = [codes.min * num, codes.max * num, least * den, greatest * den];
  const widest = smallestFor(
    products.reduce((a, b) => (a < b ? a : b)),
    products.reduce((a, b) => (a > b ? a : b)),
  );
  const reach = smallestFor(least < 0n ? least : -1n, greatest);
  if (widest === undefined || reach === undefined || !fitsSigned(products)) return undefined;
  const unit = unitByCode(type.unit);
  const named = unit === undefined || type.unit === unitless ? undefined : upper(unit.name)?.toLowerCase();
  const words = named === undefined ? [part.count] : [part.prefix, named];
  const suffix = words.filter((word) => word !== '').join('_');
  if (suffix === '') return undefined;
  return {
    suffix: `in_${suffix}`,
    words: suffix.replaceAll('_', ' '),
    factor: num,
    divisor: den,
    type: { signed: true, bits: reach.bits <= 32 ? 32 : 64 },
    least,
    greatest,
    exact: den === 1n,
    bits: products.every((product) => product >= -(1n << 31n) && product < 1n << 31n) ? 32 : 64,
  };
}

function steps(size: Rational, power: number): bigint {
  return roundHalfEven(absolute(divide(size, powerOf(10n, power))));
}

function fitsSigned(values: readonly bigint[]): boolean {
  return values.every((value) => value >= -(1n << 63n) && value < 1n << 63n);
}
