import {
  absolute,
  add,
  divide,
  floor,
  multiply,
  rational,
  subtract,
  zero,
  type Rational,
} from '../../base/rational.ts';
import { nearestWord } from './line.ts';
import type { PlanNumber, PlanStep } from './plan.ts';
import { PlanWriter, type Bounded } from './plan-writer.ts';

/**
 * The reload of a timer that makes a frequency: count = total / |input|, reload = count - 1, for inputs of one sign. The
 * exact count is at least 1 and its nearest is at most `last` over the whole piece.
 */
export type CountPiece = {
  /** Inclusive; both above 0, or both below. */
  readonly from: bigint;
  readonly to: bigint;
  /** Counts at the input 1: clock / (prescaler * value of one code). */
  readonly total: Rational;
  /** Frequency of one count, in the value's unit. */
  readonly clock: Rational;
  readonly last: bigint;
};

export type CountSteps = {
  readonly steps: readonly PlanStep[];
  readonly reload: PlanNumber;
  /** Proved: every count is the one whose frequency is nearest. */
  readonly nearest: boolean;
  /** Bounds of the errors: in counts, and in the value's unit. */
  readonly bound: { readonly words: Rational; readonly value: Rational };
};

/**
 * Integer steps for a count: with total = D / E in lowest terms
 *
 *     d = |input| * E,  n = D / d,  rest = D % d,  count = n + (rest * (2n + 1) > n * d)
 *
 * which is exact: frequencies of n and n + 1 counts meet at 2n(n+1)/(2n+1) counts, see `nearestCount`. When that does not
 * fit 64 bits, D / E is replaced by the nearest fraction over a power of two, and the error stated.
 *
 * @returns `undefined` when 64 bits do not hold it
 */
export function countSteps(piece: CountPiece): CountSteps | undefined {
  const exact = write(piece, piece.total);
  if (exact !== undefined) return { ...exact, nearest: true, bound: countBound(piece, zero) };
  for (let s = 62; s >= 0; s--) {
    const scale = 1n << BigInt(s);
    const near = { num: nearestWord(multiply(piece.total, rational(scale))), den: scale };
    const steps = write(piece, near);
    if (steps === undefined) continue;
    const offset = absolute(subtract(rational(near.num, near.den), piece.total));
    return { ...steps, nearest: false, bound: countBound(piece, offset) };
  }
  return undefined;
}

/**
 * Bounds when the counts are the nearest to (total +- offset) / |input|. Between n and n + 1 the frequency-nearest count is
 * at most (n + 1) / (2n + 1) away, and its frequency at most half of clock / (n * (n + 1)): both largest for the smallest n.
 * The offset adds offset / |input| counts, most at the smallest input, and clock * offset * |input| / (total * (total -
 * offset)) of frequency, most at the largest.
 */
function countBound(piece: CountPiece, offset: Rational): CountSteps['bound'] {
  const [few, many] = piece.from > 0n ? [piece.from, piece.to] : [-piece.to, -piece.from];
  const least = subtract(piece.total, offset);
  const real = floor(divide(least, rational(many)));
  const n = real > 1n ? real : 1n;
  const shifted = divide(multiply(offset, rational(many)), multiply(piece.total, least));
  return {
    words: add(rational(n + 1n, 2n * n + 1n), divide(offset, rational(few))),
    value: multiply(piece.clock, add(rational(1n, 2n * n * (n + 1n)), shifted)),
  };
}

function write(
  piece: CountPiece,
  total: Rational,
): { readonly steps: readonly PlanStep[]; readonly reload: PlanNumber } | undefined {
  const writer = new PlanWriter();
  const input = writer.input(piece.from, piece.to);
  const size = piece.from > 0n ? input : writer.subtract('size', writer.constant(0n), input);
  const dividend = writer.constant(total.num);
  const divisor = writer.multiply('divisor', size, writer.constant(total.den));
  const n = writer.divide('whole', dividend, divisor);
  const rest = writer.remainder('rest', dividend, divisor);
  const odd = writer.add('odd', writer.add('twice', n, n), writer.constant(1n));
  // rest < d and n * d <= D, so rest * (2n + 1) < 2D + d.
  const left = writer.multiply('left', rest, odd, { least: 0n, greatest: 2n * total.num + divisor.greatest });
  const right = writer.multiply('right', n, divisor, { least: 0n, greatest: total.num });
  const up = writer.greater('up', left, right);
  const counts: Bounded = writer.add('sum', n, up, { least: 1n, greatest: n.greatest + 1n });
  const count = writer.minimum('count', counts, piece.last);
  const made = writer.finish(writer.subtract('reload', count, writer.constant(1n)));
  return made && { steps: made.steps, reload: made.result };
}
