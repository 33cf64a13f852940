import {
  absolute,
  compare,
  decimalPlaces,
  multiply,
  powerOf,
  rational,
  roundHalfEven,
  subtract,
} from '../base/rational.ts';
import type { Rational } from '../base/rational.ts';
import type { Medfloat, MedfloatSpecial } from './type.ts';

/**
 * The medical device numbers FLOAT (32 bits) and SFLOAT (16 bits): mantissa * 10^exponent, both in two's complement, the
 * exponent in the most significant bits. Mantissa and exponent stay apart, because 2, 2.0 and 2.00 are three
 * statements of precision. IEEE 11073-20601 Annex F.
 */
export type MedfloatFormat = 'medfloat16' | 'medfloat32';

type Layout = {
  readonly mantissaBits: number;
  /** Largest magnitude of a number's mantissa: the five codes beyond it are the special values. */
  readonly mantissa: number;
  readonly exponent: { readonly min: number; readonly max: number };
};

export const medfloatLayouts: Readonly<Record<MedfloatFormat, Layout>> = {
  medfloat16: { mantissaBits: 12, mantissa: 2045, exponent: { min: -8, max: 7 } },
  medfloat32: { mantissaBits: 24, mantissa: 8_388_605, exponent: { min: -128, max: 127 } },
};

/** Names in the standard's spelling with, for n mantissa bits, their mantissa; the exponent is 0. */
function specialMantissas(bits: number): readonly { readonly name: MedfloatSpecial; readonly mantissa: number }[] {
  const half = 2 ** (bits - 1);
  return [
    { name: 'NaN', mantissa: half - 1 },
    { name: 'NRes', mantissa: -half },
    { name: '+INFINITY', mantissa: half - 2 },
    { name: '-INFINITY', mantissa: -half + 2 },
    { name: 'reserved', mantissa: -half + 1 },
  ];
}

const specials = {
  medfloat16: specialMantissas(medfloatLayouts.medfloat16.mantissaBits),
  medfloat32: specialMantissas(medfloatLayouts.medfloat32.mantissaBits),
};

/**
 * @param code 0..2^16-1 or 0..2^32-1
 * @returns `undefined` for a mantissa beyond the limits with an exponent other than 0: neither number nor special value
 */
export function decodeMedfloat(format: MedfloatFormat, code: number): Medfloat | undefined {
  const { mantissaBits, mantissa: limit } = medfloatLayouts[format];
  const exponentShift = 32 - (format === 'medfloat16' ? 16 : 32);
  const mantissaShift = 32 - mantissaBits;
  const mantissa = (code << mantissaShift) >> mantissaShift;
  const exponent = (code << exponentShift) >> (exponentShift + mantissaBits);
  if (Math.abs(mantissa) <= limit) return { kind: 'number', mantissa, exponent };
  const special = specials[format].find((entry) => entry.mantissa === mantissa);
  return special === undefined || exponent !== 0 ? undefined : { kind: 'special', name: special.name };
}

/** The code, 0..2^16-1 or 0..2^32-1; `undefined` when mantissa or exponent is beyond the format's limits. */
export function encodeMedfloat(format: MedfloatFormat, value: Medfloat): number | undefined {
  const { mantissaBits, mantissa: limit, exponent: range } = medfloatLayouts[format];
  const modulus = 2 ** mantissaBits;
  if (value.kind === 'special') {
    const special = specials[format].find((entry) => entry.name === value.name);
    return special === undefined ? undefined : (special.mantissa + modulus) % modulus;
  }
  const { mantissa, exponent } = value;
  if (!Number.isInteger(mantissa) || Math.abs(mantissa) > limit) return undefined;
  if (!Number.isInteger(exponent) || exponent < range.min || exponent > range.max) return undefined;
  const exponentModulus = range.max - range.min + 1;
  return ((exponent + exponentModulus) % exponentModulus) * modulus + ((mantissa + modulus) % modulus);
}

/** The number that mantissa and exponent stand for. */
export function medfloatValue(value: { readonly mantissa: number; readonly exponent: number }): Rational {
  return multiply(rational(value.mantissa), powerOf(10n, value.exponent));
}

/** The number with the precision that its exponent states: 200 * 10^-2 is `2.00`. */
export function medfloatDigits(value: { readonly mantissa: number; readonly exponent: number }): string {
  const { mantissa, exponent } = value;
  if (exponent > plainZeros || exponent < -plainZeros) return `${mantissa}e${exponent}`;
  if (exponent >= 0) return mantissa === 0 ? '0' : `${mantissa}${'0'.repeat(exponent)}`;
  const all = Math.abs(mantissa)
    .toString()
    .padStart(1 - exponent, '0');
  return `${mantissa < 0 ? '-' : ''}${all.slice(0, exponent)}.${all.slice(exponent)}`;
}

/** Beyond so many places a number is written with its exponent. */
const plainZeros = 20;

/**
 * The coding of a number that the format holds best. If it can be held exactly, the exponent nearest to 0 is taken (2
 * is 2 * 10^0, 2.5 is 25 * 10^-1); else the nearest number with the finest exponent, half to the even mantissa.
 *
 * @returns `undefined` when the number is larger than the format can hold
 */
export function nearestMedfloat(format: MedfloatFormat, value: Rational): Medfloat | undefined {
  const { mantissa: limit, exponent: range } = medfloatLayouts[format];
  if (value.num === 0n) return { kind: 'number', mantissa: 0, exponent: 0 };
  const scaled = (exponent: number): Rational => multiply(value, powerOf(10n, -exponent));
  const fits = (exponent: number): boolean =>
    compare(absolute(rational(roundHalfEven(scaled(exponent)))), rational(limit)) <= 0;

  // By their digits the value is below 10^(n+1); the finest exponent cannot lie below this.
  const finestPossible = digits(value.num) - digits(value.den) - digits(BigInt(limit)) - 2;
  let finest = Math.max(range.min, finestPossible);
  while (finest <= range.max && !fits(finest)) finest += 1;
  if (finest > range.max) return undefined;

  const coarsest = coarsestExact(value);
  if (coarsest !== undefined && coarsest >= finest) {
    const exponent = Math.min(Math.max(0, finest), coarsest, range.max);
    return { kind: 'number', mantissa: Number(scaled(exponent).num), exponent };
  }
  const rounded = { mantissa: Number(roundHalfEven(scaled(finest))), exponent: finest };
  if (finest > range.min) {
    // Between the largest mantissa of one exponent and the first that fits the next there is a wider step.
    const largest = { mantissa: value.num < 0n ? -limit : limit, exponent: finest - 1 };
    const error = (candidate: typeof largest): Rational => absolute(subtract(medfloatValue(candidate), value));
    if (compare(error(largest), error(rounded)) < 0) return { kind: 'number', ...largest };
  }
  return { kind: 'number', ...rounded };
}

/** The largest exponent with which the number has a whole mantissa; `undefined` for one that no decimal ends. */
function coarsestExact(value: Rational): number | undefined {
  const places = decimalPlaces(value.den);
  if (places === undefined || places > 0) return places === undefined ? undefined : -places;
  const zeros = /0*$/.exec(value.num.toString());
  return zeros?.[0].length ?? 0;
}

function digits(value: bigint): number {
  return (value < 0n ? -value : value).toString().length;
}
