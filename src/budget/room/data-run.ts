import type { Microseconds } from '../../base/quantity.ts';
import { seededRandom } from '../../base/random.ts';
import { dataChannels } from './collision.ts';
import { TimeQueue } from './time-queue.ts';

export type DataRun = { readonly events: number; readonly collided: number };

/**
 * Connections of one interval side by side, each at a phase of its own and on a random channel each event, with clocks up
 * to `ppm` apart. Events that overlap on a channel count as collided, both.
 *
 * Hopping is drawn evenly from all 37 channels; the real sequences (Core Vol 6 Part B 4.5.8) are as even over time.
 */
export function runData(options: {
  readonly connections: number;
  readonly interval: Microseconds;
  /** Time that one event is on the air, µs. */
  readonly busy: number;
  readonly ppm: number;
  readonly duration: Microseconds;
  readonly seed: number;
}): DataRun {
  const { connections, interval, busy, duration } = options;
  const random = seededRandom(options.seed);
  const intervals = Float64Array.from(
    { length: connections },
    () => interval * (1 + (options.ppm * (2 * random.unit() - 1)) / 1_000_000),
  );
  const queue = new TimeQueue(Float64Array.from({ length: connections }, () => random.unit() * interval));
  const lastEnd = new Float64Array(dataChannels).fill(-1);
  const lastOwner = new Int32Array(dataChannels);
  const hit = new Uint8Array(connections);
  let events = 0;
  let collided = 0;
  for (let now = queue.time; now <= duration; now = queue.time) {
    const party = queue.party;
    const channel = random.int(dataChannels);
    events += 1;
    hit[party] = 0;
    if (now < (lastEnd[channel] ?? -1)) {
      hit[party] = 1;
      collided += 1;
      const other = lastOwner[channel] ?? 0;
      if (hit[other] === 0) {
        hit[other] = 1;
        collided += 1;
      }
    }
    lastEnd[channel] = now + busy;
    lastOwner[channel] = party;
    queue.later(now + (intervals[party] ?? interval));
  }
  return { events, collided };
}
