import {
  absolute,
  add,
  ceiling,
  compare,
  floor,
  isInteger,
  multiply,
  negate,
  rational,
  subtract,
  zero,
  type Rational,
} from '../../base/rational.ts';
import { half, nearestWord } from './line.ts';
import type { PlanNumber, PlanStep } from './plan.ts';
import { PlanWriter, type Bounded } from './plan-writer.ts';

/** A word that is `slope * input + offset` for whole inputs from `from` to `to`, both inclusive; the slope is not 0. */
export type AffinePiece = {
  readonly from: bigint;
  readonly to: bigint;
  readonly slope: Rational;
  readonly offset: Rational;
};

export type AffineSteps = {
  readonly steps: readonly PlanStep[];
  readonly word: PlanNumber;
  /** Proved: every word is the nearest integer, half way up. */
  readonly nearest: boolean;
  /** No word is farther from the exact one; in words. */
  readonly bound: Rational;
};

/**
 * Integer steps for a word on a line. The input is counted from the end where the word is smallest, so that
 *
 *     word = floor(a * x + b),  x = 0..n,  a > 0,  b includes the half that rounds
 *
 * and is computed with the first of these that is proved right for every x and fits:
 *
 * 1. one multiplication and a shift, `(x * M + B) >> s`;
 * 2. the same for the fraction only, `base + x * q + ((x * m + b) >> s)`, whose products are smaller;
 *    each in 32 bits, then in 64;
 * 3. a division, `base + x * q + (x * r + c) / d`;
 * 4. the same for an x of any size, split as `x = u * d + v`;
 * 5. otherwise the fraction with the multiplier and shift of the least error, which is then stated.
 *
 * Proof of 1 and 2: with M = ceil(a * 2^s) and B = ceil(b * 2^s) the sum, divided by 2^s, exceeds a * x + b by an e(x) with
 * 0 <= e(x) <= e(n). Every a * x + b is a multiple of 1/D, D the common denominator of a and b, so it lies at least 1/D
 * below the next integer above it: while e(n) < 1/D, no sum reaches that integer and the floor is the same. (The argument
 * of Granlund and Montgomery, "Division by invariant integers using multiplication", PLDI 1994, carried over to a line;
 * from memory.) 3 and 4 are exact by construction.
 *
 * @returns `undefined` when 64 bits do not hold it
 */
export function affineSteps(piece: AffinePiece): AffineSteps | undefined {
  const line = upright(piece);
  if (line.last === line.base) {
    return { steps: [], word: { kind: 'constant', value: line.base }, nearest: true, bound: nearestBound(piece) };
  }
  const builds: (readonly [Build, 32 | 64])[] = [];
  const shift = smallestShift(line);
  if (shift !== undefined) {
    const whole = line.b.num >= 0n ? [onMultiply(line, shift)] : [];
    const parts = [...whole, fractionMultiply(line, shift)];
    for (const bits of [32, 64] as const) for (const build of parts) builds.push([build, bits]);
  }
  builds.push([onDivide(line), 64], [splitDivide(line), 64]);
  for (const [build, bits] of builds) {
    const writer = new PlanWriter();
    const made = writer.finish(build(writer), bits);
    if (made !== undefined) {
      return { steps: made.steps, word: made.result, nearest: true, bound: nearestBound(piece) };
    }
  }
  return leastError(line);
}

/** The rounding error of the nearest word: none where all exact words are whole. */
function nearestBound(piece: AffinePiece): Rational {
  return isInteger(piece.slope) && isInteger(piece.offset) ? zero : half;
}

/** word = floor(a * x + b); x = input - from when `rising`, else to - input. */
type Upright = {
  readonly rising: boolean;
  readonly from: bigint;
  readonly to: bigint;
  readonly n: bigint;
  readonly a: Rational;
  readonly b: Rational;
  /** Whole part and fraction of a; whole part and fraction of b, 0 <= fraction < 1. */
  readonly q: bigint;
  readonly fraction: Rational;
  readonly base: bigint;
  readonly start: Rational;
  /** The word at x = n. */
  readonly last: bigint;
};

function upright({ from, to, slope, offset }: AffinePiece): Upright {
  const rising = slope.num > 0n;
  const a = rising ? slope : negate(slope);
  const b = add(add(multiply(slope, rational(rising ? from : to)), offset), half);
  const n = to - from;
  const q = floor(a);
  const base = floor(b);
  const last = floor(add(multiply(a, rational(n)), b));
  return {
    rising,
    from,
    to,
    n,
    a,
    b,
    q,
    base,
    last,
    fraction: subtract(a, rational(q)),
    start: subtract(b, rational(base)),
  };
}

type Build = (writer: PlanWriter) => Bounded;

function distance(writer: PlanWriter, line: Upright): Bounded {
  const input = writer.input(line.from, line.to);
  return line.rising
    ? writer.subtract('distance', input, writer.constant(line.from))
    : writer.subtract('distance', writer.constant(line.to), input);
}

/** The smallest s <= 63 with e(n) < 1/D. */
function smallestShift(line: Upright): number | undefined {
  const common = commonDenominator(line);
  for (let s = 0; s <= 63; s++) {
    const scale = 1n << BigInt(s);
    // Both in units of 1 / (D * 2^s).
    const slopeExcess =
      (ceiling(multiply(line.a, rational(scale))) * line.a.den - line.a.num * scale) * (common / line.a.den);
    const startExcess =
      (ceiling(multiply(line.b, rational(scale))) * line.b.den - line.b.num * scale) * (common / line.b.den);
    if (slopeExcess * line.n + startExcess < scale) return s;
  }
  return undefined;
}

/** The least common multiple of the denominators of a and b. */
function commonDenominator(line: Upright): bigint {
  return line.a.den * rational(line.b.den, line.a.den).num;
}

/** (x * M + B) >> s; b is not negative. */
function onMultiply(line: Upright, s: number): Build {
  const scale = rational(1n << BigInt(s));
  return (writer) => {
    const multiplier = writer.constant(ceiling(multiply(line.a, scale)));
    const product = writer.multiply('product', distance(writer, line), multiplier);
    const sum = writer.add('sum', product, writer.constant(ceiling(multiply(line.b, scale))));
    return writer.shiftRight('word', sum, s);
  };
}

/** base + x * q + ((x * m + b) >> s) */
function fractionMultiply(line: Upright, s: number): Build {
  const scale = rational(1n << BigInt(s));
  return (writer) => {
    const x = distance(writer, line);
    const multiplier = writer.constant(ceiling(multiply(line.fraction, scale)));
    const product = writer.multiply('fraction-product', x, multiplier);
    const sum = writer.add('fraction-sum', product, writer.constant(ceiling(multiply(line.start, scale))));
    return assemble(writer, line, x, writer.shiftRight('fraction', sum, s));
  };
}

/** base + x * q + (x * r + c) / d */
function onDivide(line: Upright): Build {
  const d = commonDenominator(line);
  return (writer) => {
    const x = distance(writer, line);
    const product = writer.multiply('fraction-product', x, writer.constant(over(line.fraction, d)));
    const sum = writer.add('fraction-sum', product, writer.constant(over(line.start, d)));
    return assemble(writer, line, x, writer.divide('fraction', sum, writer.constant(d)));
  };
}

/** base + x * q + u * r + (v * r + c) / d, x = u * d + v */
function splitDivide(line: Upright): Build {
  const d = commonDenominator(line);
  return (writer) => {
    const x = distance(writer, line);
    const divisor = writer.constant(d);
    const r = writer.constant(over(line.fraction, d));
    const coarse = writer.multiply('coarse', writer.divide('quotient', x, divisor), r);
    const product = writer.multiply('fraction-product', writer.remainder('rest', x, divisor), r);
    const sum = writer.add('fraction-sum', product, writer.constant(over(line.start, d)));
    const fine = writer.divide('fine', sum, divisor);
    return assemble(writer, line, x, writer.add('fraction', coarse, fine));
  };
}

/** The numerator over the denominator `d`, a multiple of the fraction's own. */
function over(fraction: Rational, d: bigint): bigint {
  return fraction.num * (d / fraction.den);
}

/** base + x * q + part, which is known to be the exact word. */
function assemble(writer: PlanWriter, line: Upright, x: Bounded, part: Bounded): Bounded {
  const rise = { least: 0n, greatest: line.last - line.base };
  const whole = writer.multiply('whole', x, writer.constant(line.q), rise);
  const sum = writer.add('rise', whole, part, rise);
  return writer.add('word', sum, writer.constant(line.base), { least: line.base, greatest: line.last });
}

/**
 * base + x * q + (((x >> t) * m + b) >> s) with t, s, m, b of the least error, held at the last word.
 *
 * Dropping t bits loses less than 1 of x >> t, so with d the dropped part, 0 <= d <= (2^t - 1) / 2^t, the sum before the
 * last shift is off by (m / 2^(s+t) - a) * x + (b / 2^s - start) - d * m / 2^s: linear in x, so the extremes are at its
 * ends. b is chosen so that the loss lies evenly on both sides.
 */
function leastError(line: Upright): AffineSteps | undefined {
  let best:
    | { readonly t: number; readonly s: number; readonly m: bigint; readonly b: bigint; readonly error: Rational }
    | undefined;
  for (let t = 0; line.n >> BigInt(t) > 0n; t++) {
    const kept = line.n >> BigInt(t);
    for (let s = 63; s >= 0; s--) {
      const scale = 1n << BigInt(s);
      const m = nearestWord(multiply(line.fraction, rational(scale << BigInt(t))));
      const loss = multiply(rational(m, scale), rational((1n << BigInt(t)) - 1n, 1n << BigInt(t)));
      const b = nearestWord(multiply(add(line.start, multiply(loss, half)), rational(scale)));
      if (kept * m + b >= 1n << 64n) continue;
      const startError = subtract(rational(b, scale), line.start);
      const slopeError = multiply(subtract(rational(m, scale << BigInt(t)), line.fraction), rational(line.n));
      const ends = [startError, add(startError, slopeError)];
      const error = [...ends, ...ends.map((end) => subtract(end, loss))].map(absolute).reduce(larger);
      if (best === undefined || compare(error, best.error) < 0) best = { t, s, m, b, error };
      break;
    }
  }
  if (best === undefined) return undefined;
  const writer = new PlanWriter();
  const x = distance(writer, line);
  const product = writer.multiply('fraction-product', writer.shiftRight('reduced', x, best.t), writer.constant(best.m));
  const sum = writer.add('fraction-sum', product, writer.constant(best.b));
  const part = writer.shiftRight('fraction', sum, best.s);
  const rise = writer.add('rise', writer.multiply('whole', x, writer.constant(line.q)), part);
  const held = writer.minimum('held', rise, line.last - line.base);
  const made = writer.finish(writer.add('word', held, writer.constant(line.base)));
  return made && { steps: made.steps, word: made.result, nearest: false, bound: add(half, best.error) };
}

function larger(a: Rational, b: Rational): Rational {
  return compare(a, b) >= 0 ? a : b;
}
