import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { absolute, add, compare, multiply, rational, subtract } from '../../base/rational.ts';
import { affineSteps, type AffinePiece, type AffineSteps } from './affine-plan.ts';
import { nearestWord } from './line.ts';
import { runSegment } from './run-plan.ts';

const piece = (from: bigint, to: bigint, slope: readonly [bigint, bigint], offset = rational(0)): AffinePiece => ({
  from,
  to,
  offset,
  slope: rational(...slope),
});

function wordAt(made: AffineSteps, { from, to }: AffinePiece, input: bigint): bigint {
  return runSegment({ from, to, limited: undefined, steps: made.steps, words: [made.word] }, input)[0]!;
}

function operations(made: AffineSteps | undefined): string {
  return made === undefined ? 'none' : made.steps.map((step) => `${step.operation}${step.bits}`).join(' ');
}

describe('the form of the steps', () => {
  it('is one multiplication and a shift where 32 bits hold it', () => {
    // 0.1 % steps of 1000 counts: 10 codes a count.
    expect(operations(affineSteps(piece(0n, 10_000n, [1n, 10n])))).toBe('multiply32 add32 shift-right32');
  });

  it('takes the whole part of the factor out when that keeps to 32 bits', () => {
    expect(operations(affineSteps(piece(0n, 400n, [33_554_432n, 15_625n])))).toBe(
      'multiply32 add32 shift-right32 multiply32 add32',
    );
  });

  it('goes to 64 bits when it must', () => {
    expect(operations(affineSteps(piece(0n, 65_535n, [33_554_432n, 15_625n])))).toBe('multiply64 add64 shift-right64');
  });

  it('divides when no shift is exact', () => {
    const made = affineSteps(piece(0n, 2n ** 34n, [2n ** 20n + 1n, 10n ** 9n + 7n]));
    expect(operations(made)).toContain('divide64');
    expect(made).toMatchObject({ nearest: true, bound: rational(1, 2) });
  });

  it('divides in two parts when even that is too long', () => {
    const made = affineSteps(piece(0n, 2n ** 60n, [10n ** 9n - 1n, 10n ** 9n + 7n]));
    expect(operations(made)).toContain('remainder64');
    expect(made?.nearest).toBe(true);
  });

  it('comes near when nothing is exact, and says how near', () => {
    const made = affineSteps(piece(0n, 2n ** 40n, [10n ** 14n - 1n, 10n ** 15n + 37n]));
    expect(made?.nearest).toBe(false);
    expect(compare(made!.bound, rational(1, 2))).toBe(1);
  });

  it('is a constant where all words are the same', () => {
    expect(affineSteps(piece(3n, 9n, [1n, 100n]))).toMatchObject({ steps: [], word: { kind: 'constant', value: 0n } });
  });

  it('is missing when the word itself is longer than 64 bits', () => {
    expect(affineSteps(piece(0n, 2n ** 40n, [2n ** 40n, 1n]))).toBeUndefined();
  });

  it('adds nothing where the words are whole', () => {
    expect(affineSteps(piece(0n, 100n, [3n, 1n], rational(7)))).toMatchObject({ bound: rational(0) });
  });
});

describe('the words', () => {
  const size = (bits: number) => fc.bigInt({ min: 1n, max: 2n ** BigInt(bits) });
  const pieces = fc
    .record({
      from: fc.bigInt({ min: -(2n ** 33n), max: 2n ** 33n }),
      length: fc.oneof(size(4), size(16), size(32), size(40)),
      slope: fc.tuple(fc.oneof(size(4), size(30), size(50)), fc.oneof(size(4), size(30), size(50)), fc.boolean()),
      offset: fc.tuple(size(30), size(12)),
    })
    .map(({ from, length, slope: [num, den, falling], offset }) => {
      const slope = rational(falling ? -num : num, den);
      const to = from + length;
      // Words from about `offset` upwards, as registers have them.
      const atSmallest = multiply(slope, rational(falling ? to : from));
      return { from, to, slope, offset: subtract(rational(...offset), atSmallest) };
    });
  const places = fc.array(fc.bigInt({ min: 0n, max: 2n ** 40n }), { minLength: 8, maxLength: 8 });

  it('are the nearest, or within the bound', () => {
    fc.assert(
      fc.property(pieces, places, (given, at) => {
        const made = affineSteps(given);
        if (made === undefined) return;
        const span = given.to - given.from + 1n;
        for (const input of [given.from, given.to, ...at.map((place) => given.from + (place % span))]) {
          const exact = add(multiply(given.slope, rational(input)), given.offset);
          const word = wordAt(made, given, input);
          if (made.nearest && word !== nearestWord(exact)) expect.fail(`${input}: ${word}`);
          const off = absolute(subtract(rational(word), exact));
          if (compare(off, made.bound) > 0) expect.fail(`${input}: ${word} is beyond the bound`);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('are the nearest right where the exact word is half way, or a hair below', () => {
    // Slopes k/d with every remainder: ties and the last 1/D below them all occur.
    for (const d of [2n, 3n, 7n, 10n, 64n, 625n, 1000n]) {
      for (const k of [1n, d - 1n, d + 1n, 12_345n]) {
        for (const sign of [1n, -1n]) {
          const given = piece(-500n, 1500n, [sign * k, d], rational(20_000_000));
          const made = affineSteps(given)!;
          for (let input = given.from; input <= given.to; input++) {
            const twice = 2n * (sign * k * input + 20_000_000n * d) + d;
            if (wordAt(made, given, input) !== twice / (2n * d)) expect.fail(`${k}/${d} at ${input}`);
          }
        }
      }
    }
  });
});
