import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Trace } from './trace.ts';

const samples = fc.array(fc.tuple(fc.nat(1000), fc.double({ noNaN: true })), { maxLength: 200 });

describe('a trace', () => {
  it('holds the newest samples in order, as a list cut at the front does', () => {
    fc.assert(
      fc.property(samples, fc.integer({ min: 1, max: 60 }), (added, most) => {
        const trace = new Trace(most);
        let time = 0;
        const all = added.map(([step, value]) => [(time += step), value] as const);
        for (const [at, value] of all) trace.add(at, value);
        const kept = all.slice(-most);
        expect(trace.length).toBe(kept.length);
        expect(kept.map((_, i) => [trace.timeAt(i), trace.valueAt(i)])).toEqual(kept);
        expect(trace.timeAt(-1)).toBeNaN();
        expect(trace.valueAt(kept.length)).toBeNaN();
      }),
      { numRuns: 200 },
    );
  });

  it('finds the first sample since a time', () => {
    fc.assert(
      fc.property(samples, fc.nat(20_000), (added, since) => {
        const trace = new Trace(50);
        let time = 0;
        for (const [step, value] of added) trace.add((time += step), value);
        const times = Array.from({ length: trace.length }, (_, i) => trace.timeAt(i));
        const expected = times.findIndex((at) => at >= since);
        expect(trace.firstSince(since)).toBe(expected < 0 ? times.length : expected);
      }),
      { numRuns: 200 },
    );
  });

  it('grows past its first size without losing a sample', () => {
    const trace = new Trace();
    for (let i = 0; i < 70_000; i++) trace.add(i, -i);
    expect(trace.length).toBe(65_536);
    expect(trace.timeAt(0)).toBe(70_000 - 65_536);
    expect(trace.valueAt(65_535)).toBe(-69_999);
  });
});
