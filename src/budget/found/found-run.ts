import { seededRandom } from '../../base/random.ts';
import { summarise, type Summary } from '../statistics.ts';
import { advertisingChannels, heardPacket, type Advertiser, type ScanPattern } from './scan.ts';

export type FoundRun = Summary & {
  /** µs from the start of the first event to the end of the packet heard; those that gave up are left out. */
  readonly times: Float64Array;
  /** Trials that were not found within the limit. */
  readonly gaveUp: number;
};

/** Boards switched on at a random phase of a scanner, one a trial, from a seed. @param limit µs after which a trial gives up */
export function runFound(
  advertiser: Advertiser,
  pattern: ScanPattern,
  options: { readonly trials: number; readonly seed: number; readonly limit: number },
): FoundRun {
  const random = seededRandom(options.seed);
  const round = advertisingChannels * pattern.interval;
  const times = new Float64Array(options.trials);
  let found = 0;
  for (let trial = 0; trial < options.trials; trial++) {
    const phase = random.unit() * round;
    for (let t = 0; t <= options.limit; t += advertiser.interval + random.unit() * advertiser.delay) {
      const channel = heardPacket(advertiser, pattern, (phase + t) % round);
      if (channel < 0) continue;
      times[found++] = t + channel * advertiser.step + advertiser.packet;
      break;
    }
  }
  const all = times.slice(0, found);
  return { ...summarise(all), times: all, gaveUp: options.trials - found };
}
