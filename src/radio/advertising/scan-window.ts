import type { Microseconds } from '../../base/quantity.ts';

/** When a scanner listens: `window` at the start of each `interval`, on 37, 38, 39 in turn. Core Vol 6 Part B 4.4.3. */
export type ScanPattern = {
  readonly since: Microseconds;
  readonly interval: Microseconds;
  readonly window: Microseconds;
};

/** Whether it listens to a channel all the time from `start` to `end`. */
export function listens(pattern: ScanPattern, channel: number, start: Microseconds, end: Microseconds): boolean {
  const round = Math.floor((start - pattern.since) / pattern.interval);
  if (round < 0 || 37 + (round % 3) !== channel) return false;
  const begin = pattern.since + round * pattern.interval;
  return end <= begin + pattern.window;
}
