import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearAxis, logAxis, timeUnit } from './axis.ts';

describe('axes', () => {
  it('have round ticks', () => {
    expect(linearAxis(100).ticks).toEqual([0, 20, 40, 60, 80, 100]);
    expect(linearAxis(7).ticks).toEqual([0, 2, 4, 6, 8]);
    expect(logAxis(1, 500).ticks).toEqual([1, 3, 10, 30, 100, 300, 1000]);
    expect(logAxis(20, 90).ticks).toEqual([20, 50, 100]);
  });

  it('hold what they are made for, and rise', () => {
    const size = fc.double({ min: 1e-6, max: 1e9, noNaN: true });
    fc.assert(
      fc.property(size, fc.double({ min: 1, max: 1e5, noNaN: true }), (least, factor) => {
        for (const axis of [linearAxis(least), logAxis(least, least * factor)]) {
          expect(axis.place(axis.from)).toBeCloseTo(0, 9);
          expect(axis.place(axis.to)).toBeCloseTo(1, 9);
          expect(axis.place(least)).toBeLessThanOrEqual(1 + 1e-6);
          expect(axis.place(least)).toBeGreaterThanOrEqual(-1e-6);
          expect(axis.place(least * 1.01)).toBeGreaterThan(axis.place(least));
          expect(axis.ticks.length).toBeGreaterThan(0);
          expect(axis.ticks.length).toBeLessThan(12);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('have a unit that suits their end', () => {
    expect([800, 30_000, 5e6, 600e6].map((most) => timeUnit(most).name)).toEqual(['µs', 'ms', 's', 'min']);
  });
});
