import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../base/random.ts';
import { chanceWithinHeld, meanOfHeld, quantileOfHeld } from './held.ts';
import { chanceWithin, meanOf, mixture, quantile, type Mixture } from './mixture.ts';

const arbitraryMixture: fc.Arbitrary<Mixture> = fc
  .tuple(
    fc.integer({ min: 1, max: 50 }),
    fc.array(fc.tuple(fc.nat(500), fc.integer({ min: 1, max: 9 })), { minLength: 1, maxLength: 5 }),
  )
  .map(([width, pieces]) => {
    const total = pieces.reduce((sum, [, weight]) => sum + weight, 0);
    return mixture(
      width,
      pieces.map(([start, weight]) => ({ start, weight: weight / total })),
    );
  });

describe('a delay that its policy holds back', () => {
  it('is the link’s own without a hold', () => {
    fc.assert(
      fc.property(arbitraryMixture, fc.nat(600), (given, x) => {
        const held = { mixture: given, hold: 0 };
        expect(chanceWithinHeld(held, x)).toBeCloseTo(chanceWithin(given, x), 12);
        expect(meanOfHeld(held)).toBeCloseTo(meanOf(given), 9);
        expect(quantileOfHeld(held, 0.3)).toBeCloseTo(quantile(given, 0.3), 2);
      }),
      { numRuns: 100 },
    );
  });

  // Two equal uniform waits add up to a triangle: half of it by its middle, an eighth by a quarter of its base.
  it('is a triangle for two waits of one length', () => {
    const held = { mixture: mixture(10, [{ start: 0, weight: 1 }]), hold: 10 };
    expect(chanceWithinHeld(held, 10)).toBeCloseTo(0.5, 12);
    expect(chanceWithinHeld(held, 5)).toBeCloseTo(0.125, 12);
    expect(chanceWithinHeld(held, 15)).toBeCloseTo(0.875, 12);
    expect(quantileOfHeld(held, 1)).toBeCloseTo(20, 2);
  });

  it('is what drawing both waits gives', () => {
    fc.assert(
      fc.property(arbitraryMixture, fc.integer({ min: 1, max: 200 }), fc.nat(1000), (given, hold, seed) => {
        const random = seededRandom(seed);
        const drawn = Array.from({ length: 2000 }, () => {
          let left = random.unit();
          const piece = given.pieces.find(({ weight }) => (left -= weight) <= 0) ?? given.pieces.at(-1)!;
          return hold * random.unit() + piece.start + given.width * random.unit();
        });
        const held = { mixture: given, hold };
        for (const p of [0.2, 0.5, 0.9]) {
          const x = quantileOfHeld(held, p);
          const share = drawn.filter((each) => each <= x).length / drawn.length;
          // Five standard deviations of a share in 2000.
          expect(Math.abs(share - p)).toBeLessThan(5 * Math.sqrt((p * (1 - p)) / 2000));
        }
      }),
      { numRuns: 40 },
    );
  });

  it('is a distribution, no shorter for a longer hold', () => {
    fc.assert(
      fc.property(arbitraryMixture, fc.nat(300), fc.nat(900), (given, hold, x) => {
        const here = chanceWithinHeld({ mixture: given, hold }, x);
        expect(here).toBeGreaterThanOrEqual(-1e-12);
        expect(here).toBeLessThanOrEqual(1 + 1e-9);
        expect(chanceWithinHeld({ mixture: given, hold }, x + 1)).toBeGreaterThanOrEqual(here - 1e-9);
        expect(chanceWithinHeld({ mixture: given, hold: hold + 5 }, x)).toBeLessThanOrEqual(here + 1e-9);
      }),
      { numRuns: 200 },
    );
  });

  it('has no quantile without pieces', () => {
    expect(quantileOfHeld({ mixture: mixture(1, []), hold: 3 }, 0.5)).toBeNaN();
  });
});
