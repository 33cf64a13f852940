import { describe, expect, it } from 'vitest';
import { us, type Microseconds } from '../../base/quantity.ts';
import { leastGap, offsetTime, placeAnchor } from './place-anchor.ts';

type Row = {
  readonly anchor: Microseconds;
  readonly interval: Microseconds;
  anchorAfter(time: Microseconds): Microseconds;
};

function row(anchor: number, interval: number): Row {
  return {
    anchor: us(anchor),
    interval: us(interval),
    anchorAfter: (time) => us(anchor + Math.max(0, Math.floor((time - anchor) / interval) + 1) * interval),
  };
}

describe('placing a connection', () => {
  it('puts the first at once, the second half an interval away, the third in between', () => {
    const earliest = us(100_000);
    const rows: Row[] = [];
    const offsets = [0, 1, 2, 3].map(() => {
      const offset = placeAnchor(earliest, us(30_000), rows);
      rows.push(row(earliest + offsetTime(offset), 30_000));
      return offset * 1250;
    });
    expect(offsets).toEqual([0, 15_000, 7_500, 22_500]);
  });

  it('heeds that different intervals slide over one another', () => {
    // 30 and 45 ms meet every 15 ms of phase: 7.5 ms is the farthest from either.
    expect(placeAnchor(us(0), us(45_000), [row(0, 30_000)]) * 1250).toBe(7_500);
    expect(leastGap(row(0, 30_000), row(7_500, 45_000))).toBe(7_500);
    expect(leastGap(row(7_500, 45_000), row(0, 30_000))).toBe(7_500);
  });

  it('tells the least time from one to the other, found by looking at all', () => {
    for (const [a, b] of [
      [row(1_000, 7_500), row(3_300, 11_250)],
      [row(500, 20_000), row(0, 30_000)],
      [row(0, 16_250), row(625, 30_000)],
    ] as const) {
      let least = Infinity;
      for (
        let time = us(a.anchor + 1_000_000 - (1_000_000 % a.interval));
        time < 3_000_000;
        time = us(time + a.interval)
      ) {
        // An anchor point at the same moment is no time away.
        least = Math.min(least, b.anchorAfter(us(time - 1)) - time);
      }
      expect(leastGap(a, b)).toBe(least);
    }
  });
});
