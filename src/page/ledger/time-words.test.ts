import { describe, expect, it } from 'vitest';
import { axisTicks, sessionTime, spanWords } from './time-words.ts';

describe('times of a session', () => {
  it('are read as on a stop watch', () => {
    expect(sessionTime(7_350_000)).toBe('0:07');
    expect(sessionTime(7_350_999, true)).toBe('0:07.350');
    expect(sessionTime(3_727_350_000, true)).toBe('1:02:07.350');
  });

  it('stand at round places under the lanes', () => {
    expect(axisTicks(3_200_000, 18_200_000, 6).map((at) => at / 1e6)).toEqual([5, 10, 15]);
    expect(axisTicks(-5e6, 10e6, 6).map((at) => at / 1e6)).toEqual([0, 5, 10]);
    expect(axisTicks(0, 1800e6, 6).map((at) => at / 60e6)).toEqual([0, 5, 10, 15, 20, 25, 30]);
  });

  it('have lengths in words', () => {
    expect([spanWords(5e6), spanWords(300e6)]).toEqual(['5 s', '5 min']);
  });
});
