import type { Random } from '../../base/random.ts';

/** A waiting time of the Poisson process with this mean, in the unit of the mean. */
export function exponential(random: Random, mean: number): number {
  return -mean * Math.log(1 - random.unit());
}
