import { us, type Microseconds } from '../../base/quantity.ts';

/** Unit of intervals and window offsets. */
export const intervalUnit = 1250;

/** A connection that shares the central's radio. */
export type Neighbour = { readonly interval: Microseconds; anchorAfter(time: Microseconds): Microseconds };

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

/** From any anchor point of `a` to the next one of `b`, at the least. */
export function leastGap(a: Neighbour & { readonly anchor: Microseconds }, b: Neighbour): number {
  const round = greatestCommonDivisor(a.interval, b.interval);
  return (b.anchorAfter(a.anchor) - a.anchor) % round;
}

/**
 * Where the events of a new or changed connection go so that they keep away from those of others: the offset in 1.25 ms
 * from `earliest`, less than the interval, at which the nearest anchor point of any other connection, whichever events
 * they are, is farthest away. The smallest of those that are as good. The standard leaves this to the controller.
 */
export function placeAnchor(earliest: Microseconds, interval: Microseconds, neighbours: readonly Neighbour[]): number {
  if (neighbours.length === 0) return 0;
  const phases = neighbours.map((neighbour) => {
    const round = greatestCommonDivisor(interval, neighbour.interval);
    return { round, phase: (neighbour.anchorAfter(earliest) - earliest) % round };
  });
  let best = 0;
  let farthest = -1;
  for (let offset = 0; offset * intervalUnit < interval; offset++) {
    let nearest = Infinity;
    for (const { round, phase } of phases) {
      const after = (((phase - offset * intervalUnit) % round) + round) % round;
      nearest = Math.min(nearest, after, round - after);
    }
    if (nearest > farthest) {
      farthest = nearest;
      best = offset;
    }
  }
  return best;
}

/** The time of an offset. */
export function offsetTime(offset: number): Microseconds {
  return us(offset * intervalUnit);
}
