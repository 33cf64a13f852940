import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scaleTicks } from './scale-ticks.ts';

describe('the ticks of a scale', () => {
  it('stand at round numbers', () => {
    expect(scaleTicks(490, 10)).toEqual([0, 50, 100, 150, 200, 250, 300, 350, 400, 450]);
    expect(scaleTicks(7, 10)).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(scaleTicks(1300, 5)).toEqual([0, 500, 1000]);
    expect(scaleTicks(0, 10)).toEqual([0]);
  });

  it('are evenly spaced, of a step of 1, 2 or 5 with zeros, and not more than asked for', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1_000_000 }), fc.integer({ min: 2, max: 20 }), (total, most) => {
        const ticks = scaleTicks(total, most);
        expect(ticks.length).toBeLessThanOrEqual(most + 1);
        const step = ticks[1] ?? 1;
        expect(['1', '2', '5']).toContain(String(step).replace(/0+$/, ''));
        expect(ticks).toEqual(ticks.map((_, i) => i * step));
        expect(ticks.at(-1)!).toBeLessThan(total + 1);
      }),
    );
  });
});
