import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Trace } from '../stores/trace.ts';
import { calmSpan, drawnSamples, roundNumber } from './chart-window.ts';

function traceOf(samples: readonly (readonly [number, number])[]): Trace {
  const trace = new Trace();
  for (const [time, value] of samples) trace.add(time, value);
  return trace;
}

describe('drawnSamples', () => {
  it('draws few samples as they are', () => {
    const trace = traceOf([
      [10, 1],
      [20, 2],
    ]);
    expect(drawnSamples(trace, 0, 100, 50, false)).toEqual({ times: [10, 20], values: [1, 2] });
  });

  it('holds the value from before the window to its end', () => {
    const trace = traceOf([
      [-500, 7],
      [40, 8],
    ]);
    expect(drawnSamples(trace, 0, 100, 50, true)).toEqual({ times: [0, 40, 100], values: [7, 8, 8] });
  });

  it('keeps the extremes however many samples there are, and draws a bounded number', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 2000 }), (values) => {
        const trace = traceOf(values.map((one, i) => [i, one]));
        const drawn = drawnSamples(trace, 0, 2000, 40, false);
        expect(drawn.times.length).toBeLessThanOrEqual(4 * 41);
        expect(Math.min(...drawn.values)).toBe(Math.min(...values));
        expect(Math.max(...drawn.values)).toBe(Math.max(...values));
        expect(drawn.times).toEqual([...drawn.times].sort((a, b) => a - b));
      }),
      { numRuns: 60 },
    );
  });
});

describe('calmSpan', () => {
  it('holds all that is drawn', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1 }), (values) => {
        const { min, max } = calmSpan(undefined, values, 4);
        expect(min).toBeLessThanOrEqual(Math.min(...values));
        expect(max).toBeGreaterThanOrEqual(Math.max(...values));
        expect(max - min).toBeGreaterThanOrEqual(4);
        expect(calmSpan({ min, max }, values, 4)).toEqual({ min, max });
      }),
    );
  });

  it('grows at once, and shrinks only when most of it is empty', () => {
    const wide = { min: -10, max: 10 };
    expect(calmSpan(wide, [-4, 4], 1)).toBe(wide);
    expect(calmSpan(wide, [-1, 1], 1).max).toBeLessThan(10);
    expect(calmSpan(wide, [0, 30], 1).max).toBeGreaterThanOrEqual(30);
  });

  it('does not go beyond what the values can be', () => {
    expect(calmSpan(undefined, [98], 40, { min: 0, max: 100 })).toEqual({ min: 60, max: 100 });
    expect(calmSpan(undefined, [120], 40, { min: 0, max: 100 }).max).toBeGreaterThan(120);
  });

  it('has a span before there is anything to draw', () => {
    expect(calmSpan(undefined, [], 2)).toEqual({ min: 0, max: 2 });
  });
});

describe('roundNumber', () => {
  it('is 1, 2 or 5 times a power of ten', () => {
    expect([0.3, 1, 1.5, 4, 7, 70].map(roundNumber)).toEqual([0.5, 1, 2, 5, 10, 100]);
  });
});
