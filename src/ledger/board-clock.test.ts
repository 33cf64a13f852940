import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import { BoardClock } from './board-clock.ts';

/** A board whose clock is simulated apart from the code under test: powered up at `start`, fast by `ppm`. */
function board(start: number, ppm: number): { reading: (at: number) => number; hostAt: (ms: number) => number } {
  const rate = 1 + ppm / 1e6;
  return {
    reading: (at) => Math.floor(((at - start) * rate) / 1000),
    hostAt: (ms) => start + (ms * 1000) / rate,
  };
}

const wrap = 2 ** 32;

describe('the board’s clock', () => {
  it('is the host’s own where lines come at once', () => {
    const clock = new BoardClock();
    for (let at = 0; at <= 1_000_000; at += 10_000) clock.take(at / 1000, us(at));
    expect(clock.hostTime(500)).toBe(500_000);
    expect(clock.alignment).toMatchObject({ driftPpm: 0, uncertainty: 500, bounded: false });
    clock.exchange(us(1_000_000), 1000, us(1_000_000));
    expect(clock.hostTime(500)).toBe(500_000);
    expect(clock.alignment!.bounded).toBe(true);
  });

  it('is found through jitter and drift, and the truth lies within the uncertainty', () => {
    const worlds = fc.record({
      start: fc.integer({ min: -10_000_000, max: 10_000_000 }),
      ppm: fc.integer({ min: -200, max: 200 }),
      least: fc.integer({ min: 0, max: 3000 }),
      jitter: fc.integer({ min: 0, max: 20_000 }),
      seed: fc.integer({ min: 1, max: 1e6 }),
    });
    fc.assert(
      fc.property(worlds, ({ start, ppm, least, jitter, seed }) => {
        let state = seed;
        const random = (): number => (state = (state * 48_271) % 0x7fff_ffff) / 0x7fff_ffff;
        const { reading, hostAt } = board(start, ppm);
        const clock = new BoardClock();
        const way = (): number => least + Math.floor(random() * jitter);
        let last = 10_000_000;
        for (let at = 10_000_000; at < 130_000_000; at += 250_000) {
          const asked = Math.max(at, last);
          const read = asked + way();
          last = read + way();
          const taken = clock.take(reading(read), us(last));
          if (taken !== undefined) clock.exchange(us(asked), taken.stamp, us(last));
        }
        const { driftPpm, uncertainty } = clock.alignment!;
        expect(Math.abs(driftPpm - ppm)).toBeLessThan(60);
        const now = reading(130_000_000);
        // The stamp stands for a whole millisecond.
        const off = Math.abs(clock.hostTime(now) - (hostAt(now) + hostAt(now + 1)) / 2);
        expect(off).toBeLessThanOrEqual(uncertainty + 500);
        expect(uncertainty).toBeLessThanOrEqual(least + jitter + 2500);
      }),
      { numRuns: 60 },
    );
  });

  it('goes on over the wrap of 32 bits', () => {
    const clock = new BoardClock();
    const near = wrap - 20;
    expect(clock.take(near, us(1_000_000))).toEqual({ stamp: near, reset: false });
    expect(clock.take(15, us(1_035_000))).toEqual({ stamp: wrap + 15, reset: false });
    expect(clock.hostTime(wrap + 15) - clock.hostTime(near)).toBe(35_000);
  });

  it('begins anew when the board says so', () => {
    const clock = new BoardClock();
    clock.take(90_000, us(100_000_000));
    clock.reset();
    expect(clock.resets).toBe(1);
    expect(clock.alignment).toBeUndefined();
    expect(clock.take(0, us(101_000_000))).toEqual({ stamp: 0, reset: false });
    expect(clock.hostTime(0)).toBe(101_000_000);
  });

  it('does not believe one garbled stamp, but two that agree', () => {
    const clock = new BoardClock();
    clock.take(50_000, us(60_000_000));
    // 5007 for 50070: a digit was lost on the cable.
    expect(clock.take(5007, us(60_070_000))).toBeUndefined();
    expect(clock.take(50_080, us(60_080_000))).toEqual({ stamp: 50_080, reset: false });
    // Ahead of the host's clock by hours.
    expect(clock.take(50_090_000, us(60_090_000))).toBeUndefined();
    expect(clock.take(50_100, us(60_100_000))).toEqual({ stamp: 50_100, reset: false });
    // A reset whose first lines were lost.
    expect(clock.take(12, us(61_000_000))).toBeUndefined();
    expect(clock.take(22, us(61_010_000))).toEqual({ stamp: 22, reset: true });
    expect(clock.resets).toBe(1);
    expect(clock.hostTime(22)).toBe(61_010_000);
  });

  it('lets lines come late without going late itself', () => {
    const clock = new BoardClock();
    for (let i = 0; i < 100; i++) clock.take(i * 10, us(i * 10_000 + (i % 7 === 0 ? 0 : 80_000)));
    expect(clock.hostTime(990)).toBe(990_000);
  });
});
