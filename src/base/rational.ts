/**
 * An exact fraction in lowest terms; the denominator is positive. Contract numbers, scales and physical values are
 * rationals, so 0.1 + 0.2 is 0.3.
 */
export type Rational = { readonly num: bigint; readonly den: bigint };

export const zero: Rational = { num: 0n, den: 1n };
export const one: Rational = { num: 1n, den: 1n };

/** @throws RangeError when `den` is zero */
export function rational(num: bigint | number, den: bigint | number = 1n): Rational {
  let n = BigInt(num);
  let d = BigInt(den);
  if (d === 0n) throw new RangeError('denominator is zero');
  if (d < 0n) {
    n = -n;
    d = -d;
  }
  if (d === 1n) return { num: n, den: 1n };
  const divisor = gcd(n < 0n ? -n : n, d);
  return { num: n / divisor, den: d / divisor };
}

/**
 * Reads a decimal number exactly: sign, digits, fraction, exponent (`-0.25`, `1e3`), or `0x` hex integer.
 *
 * @returns `undefined` for anything else, and for exponents beyond ±400, which no quantity needs
 */
export function parseRational(text: string): Rational | undefined {
  const hex = /^([+-]?)(0x[0-9a-f]{1,64})$/i.exec(text);
  if (hex?.[2] !== undefined) return rational(hex[1] === '-' ? -BigInt(hex[2]) : BigInt(hex[2]));
  const match = /^([+-]?)(\d{0,400})(?:\.(\d{0,400}))?(?:e([+-]?\d{1,3}))?$/i.exec(text);
  if (match === null) return undefined;
  const [, sign = '', whole = '', fraction = '', exponent = '0'] = match;
  if (whole === '' && fraction === '') return undefined;
  const power = Number(exponent);
  if (Math.abs(power) > 400) return undefined;
  const digits = BigInt(whole + fraction);
  const value = multiply(rational(sign === '-' ? -digits : digits), powerOf(10n, power - fraction.length));
  return value;
}

/** The exact value of a finite double. @throws RangeError for NaN and infinities */
export function fromDouble(value: number): Rational {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is no finite number`);
  if (Number.isInteger(value)) return rational(BigInt(value));
  // Doubling is exact; at most 1074 steps reach an integer.
  let scaled = value;
  let halvings = 0;
  while (!Number.isInteger(scaled)) {
    scaled *= 2;
    halvings += 1;
  }
  return rational(BigInt(scaled), 1n << BigInt(halvings));
}

/** The nearest double, half to even; infinite beyond what a double can hold. */
export function toDouble(value: Rational): number {
  return roundToBinary(value, 53, -1074);
}

/**
 * The nearest number of the form m * 2^e with |m| <= 2^`precision` and e >= `lowest`, half to the even m: how IEEE 754
 * rounds, subnormal numbers included (section 4.3.1). Doubles have 53 and -1074, float32 24 and -149.
 *
 * @param precision 1..53
 * @param lowest -1074 or more
 * @returns a double, never -0; infinite where even a double ends, so limits below that are the caller's to check
 */
export function roundToBinary(value: Rational, precision: number, lowest: number): number {
  if (value.num === 0n) return 0;
  const num = value.num < 0n ? -value.num : value.num;
  // num / den lies between 2^(size-1) and 2^(size+1), so m has at most one bit too many with this exponent.
  const size = bitLength(num) - bitLength(value.den);
  let exponent = Math.max(size - precision, lowest);
  let scaled = scaledByTwo(num, value.den, -exponent);
  if (scaled.num >= scaled.den << BigInt(precision)) {
    exponent += 1;
    scaled = scaledByTwo(num, value.den, -exponent);
  }
  const mantissa = Number(roundHalfEven(scaled));
  // Both factors and the product are exact: one rounding, not two.
  const magnitude = mantissa * 2 ** exponent;
  return value.num < 0n && mantissa !== 0 ? -magnitude : magnitude;
}

/** num / den * 2^power, not in lowest terms. */
function scaledByTwo(num: bigint, den: bigint, power: number): Rational {
  return power >= 0 ? { num: num << BigInt(power), den } : { num, den: den << BigInt(-power) };
}

export function add(a: Rational, b: Rational): Rational {
  return rational(a.num * b.den + b.num * a.den, a.den * b.den);
}

export function subtract(a: Rational, b: Rational): Rational {
  return rational(a.num * b.den - b.num * a.den, a.den * b.den);
}

export function multiply(a: Rational, b: Rational): Rational {
  return rational(a.num * b.num, a.den * b.den);
}

/** @throws RangeError when `b` is zero */
export function divide(a: Rational, b: Rational): Rational {
  return rational(a.num * b.den, a.den * b.num);
}

export function negate(a: Rational): Rational {
  return { num: -a.num, den: a.den };
}

export function absolute(a: Rational): Rational {
  return a.num < 0n ? negate(a) : a;
}

/** Negative, zero or positive, as `a - b` is. */
export function compare(a: Rational, b: Rational): number {
  const difference = a.num * b.den - b.num * a.den;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

export function equal(a: Rational, b: Rational): boolean {
  return a.num === b.num && a.den === b.den;
}

export function isInteger(a: Rational): boolean {
  return a.den === 1n;
}

/** `base` to the power `exponent`, which may be negative. */
export function powerOf(base: bigint, exponent: number): Rational {
  return exponent >= 0 ? rational(base ** BigInt(exponent)) : rational(1n, base ** BigInt(-exponent));
}

/** The largest integer not above `a`. */
export function floor(a: Rational): bigint {
  const quotient = a.num / a.den;
  return a.num < 0n && quotient * a.den !== a.num ? quotient - 1n : quotient;
}

export function ceiling(a: Rational): bigint {
  return -floor(negate(a));
}

/** The nearest integer; exactly half way goes to the even one. */
export function roundHalfEven(a: Rational): bigint {
  const below = floor(a);
  const twice = 2n * (a.num - below * a.den);
  if (twice < a.den) return below;
  if (twice > a.den) return below + 1n;
  return below % 2n === 0n ? below : below + 1n;
}

/**
 * As a decimal number: exact when the fraction ends within `digits` places, else rounded half to even with a leading
 * `≈`. No exponent, no trailing zeros.
 */
export function showRational(value: Rational, digits = 12): string {
  const exact = decimalPlaces(value.den);
  const places = exact === undefined || exact > digits ? digits : exact;
  const scaled = roundHalfEven(multiply(value, powerOf(10n, places)));
  const rounded = !equal(rational(scaled, 10n ** BigInt(places)), value);
  return (rounded ? '≈' : '') + fixed(scaled, places);
}

/** `scaled` / 10^`places` in digits, without trailing zeros. */
function fixed(scaled: bigint, places: number): string {
  const sign = scaled < 0n ? '-' : '';
  const digits = (scaled < 0n ? -scaled : scaled).toString().padStart(places + 1, '0');
  const whole = digits.slice(0, digits.length - places);
  const fraction = digits.slice(digits.length - places).replace(/0+$/, '');
  return fraction === '' ? sign + whole : `${sign}${whole}.${fraction}`;
}

/** Decimal places a fraction with this denominator (in lowest terms) has; `undefined` when it never ends. */
export function decimalPlaces(den: bigint): number | undefined {
  let rest = den;
  let twos = 0;
  let fives = 0;
  while (rest % 2n === 0n) {
    rest /= 2n;
    twos += 1;
  }
  while (rest % 5n === 0n) {
    rest /= 5n;
    fives += 1;
  }
  return rest === 1n ? Math.max(twos, fives) : undefined;
}

function gcd(a: bigint, b: bigint): bigint {
  while (b !== 0n) [a, b] = [b, a % b];
  return a === 0n ? 1n : a;
}

function bitLength(value: bigint): number {
  return value.toString(2).length;
}
