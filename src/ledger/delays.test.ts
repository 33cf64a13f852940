import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Delays } from './delays.ts';

function filled(samples: readonly number[]): Delays {
  const delays = new Delays();
  for (const sample of samples) delays.add(sample);
  return delays;
}

/** The definition, by sorting: the smallest sample that at least the share `p` does not exceed. */
function quantile(samples: readonly number[], p: number): number {
  return [...samples].sort((a, b) => a - b)[Math.max(0, Math.ceil(p * samples.length) - 1)]!;
}

describe('delays', () => {
  it('are exact while they are few', () => {
    const samples = fc.array(fc.integer({ min: -1000, max: 10_000_000 }), { minLength: 1, maxLength: 1024 });
    fc.assert(
      fc.property(samples, (all) => {
        const summary = filled(all).summary();
        expect(summary).toEqual({
          count: all.length,
          median: quantile(all, 0.5),
          p95: quantile(all, 0.95),
          least: Math.min(...all),
          worst: Math.max(...all),
          exact: true,
        });
      }),
    );
  });

  it('are within 1 % when they are many, the worst still exact', () => {
    const samples = fc.array(fc.integer({ min: 2, max: 50_000_000 }), { minLength: 1025, maxLength: 3000 });
    fc.assert(
      fc.property(samples, (all) => {
        const summary = filled(all).summary();
        expect(summary.exact).toBe(false);
        expect(Math.abs(summary.median / quantile(all, 0.5) - 1)).toBeLessThanOrEqual(0.010_001);
        expect(Math.abs(summary.p95 / quantile(all, 0.95) - 1)).toBeLessThanOrEqual(0.010_001);
        expect(summary.worst).toBe(Math.max(...all));
        expect(summary.least).toBe(Math.min(...all));
      }),
      { numRuns: 30 },
    );
  });

  it('fall into bars at 1, 2 and 5, none left out', () => {
    expect(filled([0, 150, 1500, 1600, 30_000]).bars()).toEqual([
      { from: 0, to: 100, count: 1 },
      { from: 100, to: 200, count: 1 },
      { from: 200, to: 500, count: 0 },
      { from: 500, to: 1000, count: 0 },
      { from: 1000, to: 2000, count: 2 },
      { from: 2000, to: 5000, count: 0 },
      { from: 5000, to: 10_000, count: 0 },
      { from: 10_000, to: 20_000, count: 0 },
      { from: 20_000, to: 50_000, count: 1 },
    ]);
    expect(filled([]).bars()).toEqual([]);
  });

  it('of none are no number', () => {
    expect(filled([]).summary()).toMatchObject({ count: 0, median: Number.NaN, worst: Number.NaN });
  });
});
