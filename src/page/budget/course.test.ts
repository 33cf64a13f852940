import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inDigits, inSteps, movedTo, placeOf, type Course } from './course.ts';

const interval: Course = { from: 7_500, to: 1_000_000, kind: 'log', round: inSteps(1250) };
const courses: readonly Course[] = [
  interval,
  { from: 0, to: 30, kind: 'linear', round: Math.round },
  { from: 0.1, to: 1000, kind: 'log', round: inDigits(3) },
];

describe('a slider', () => {
  it('goes a step further with each key, where steps are coarser than places', () => {
    expect(movedTo(interval, 7_500, placeOf(interval, 7_500) + 1)).toBe(8_750);
    expect(movedTo(interval, 30_000, placeOf(interval, 30_000) - 1)).toBe(28_750);
  });

  it('reaches its ends by keys alone, one way and the other', () => {
    for (const course of courses) {
      let value = course.from;
      for (let i = 0; i < 500; i++) value = movedTo(course, value, Math.min(400, placeOf(course, value) + 1));
      expect(value).toBeGreaterThanOrEqual(course.round(course.to) * 0.98);
      for (let i = 0; i < 500; i++) value = movedTo(course, value, Math.max(0, placeOf(course, value) - 1));
      expect(value).toBeLessThanOrEqual(course.round(course.from) * 1.2 + 1);
    }
  });

  it('gives values that may be, wherever it is dragged', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 6, max: 800 }), (place, steps) => {
        expect(movedTo(interval, steps * 1250, place) % 1250).toBe(0);
      }),
      { numRuns: 200 },
    );
  });
});
