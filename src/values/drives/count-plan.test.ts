import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { absolute, compare, divide, multiply, rational, subtract, type Rational } from '../../base/rational.ts';
import { countSteps, type CountPiece } from './count-plan.ts';
import { runSegment } from './run-plan.ts';
import { nearestCount } from './timer.ts';

function countAt(piece: CountPiece, input: bigint, made = countSteps(piece)!): bigint {
  const segment = { from: piece.from, to: piece.to, limited: undefined, steps: made.steps, words: [made.reload] };
  return runSegment(segment, input)[0]! + 1n;
}

/** Largest input: where the count is 1. Smallest: where it is `last`. */
function pieceOf(total: Rational, clock: Rational, last: bigint): CountPiece | undefined {
  const to = total.num / total.den;
  const from = total.num / (total.den * last) + 1n;
  return from > to || to >= 1n << 64n ? undefined : { from, to, total, clock, last };
}

describe('the count of a frequency timer', () => {
  it('is exact while total and input fit', () => {
    const piece = pieceOf(rational(1_600_000_000), rational(16_000_000), 65_536n)!;
    expect(countSteps(piece)).toMatchObject({ nearest: true });
    expect(countAt(piece, 44_000n)).toBe(36_364n);
  });

  it('also counts for negative codes', () => {
    const piece = { from: -1000n, to: -10n, total: rational(10_000), clock: rational(100), last: 1000n };
    for (let input = -1000n; input <= -10n; input++) {
      if (countAt(piece, input) !== nearestCount('frequency', 10_000n, -input)) expect.fail(`${input}`);
    }
  });

  it('is the nearest, or within the bounds', () => {
    const totals = fc.tuple(fc.bigInt({ min: 1n, max: 10n ** 24n }), fc.bigInt({ min: 1n, max: 10n ** 14n }));
    const places = fc.array(fc.bigInt({ min: 0n, max: 2n ** 64n }), { minLength: 6, maxLength: 6 });
    let inexact = 0;
    fc.assert(
      fc.property(totals, fc.integer({ min: 8, max: 32 }), places, ([num, den], bits, at) => {
        const total = rational(num, den);
        const clock = rational(num);
        const piece = pieceOf(total, clock, 1n << BigInt(bits));
        const made = piece && countSteps(piece);
        if (piece === undefined || made === undefined) return;
        if (!made.nearest) inexact += 1;
        const span = piece.to - piece.from + 1n;
        for (const input of [piece.from, piece.to, ...at.map((place) => piece.from + (place % span))]) {
          const count = countAt(piece, input, made);
          const real = divide(total, rational(input));
          const nearest = nearestCount('frequency', total.num, total.den * input);
          if (made.nearest && count !== nearest && nearest <= piece.last) expect.fail(`${input}: ${count}`);
          const off = absolute(subtract(rational(count), real));
          if (nearest <= piece.last && compare(off, made.bound.words) > 0) expect.fail(`${input}: ${count} counts`);
          const wrong = absolute(
            subtract(divide(clock, rational(count)), multiply(clock, divide(rational(input), total))),
          );
          if (nearest <= piece.last && compare(wrong, made.bound.value) > 0) expect.fail(`${input}: frequency`);
        }
      }),
      { numRuns: 300 },
    );
    expect(inexact).toBeGreaterThan(0);
  });
});
