import type { Microseconds } from '../../base/quantity.ts';

/** Times as commands carry them, rounded to the nearest unit. Core Vol 4 Part E 7.8. */

/** Of scanning and advertising, in units of 0.625 ms. */
export function scanUnits(time: Microseconds): number {
  return Math.round(time / 625);
}

/** Connection intervals, in units of 1.25 ms. */
export function intervalUnits(time: Microseconds): number {
  return Math.round(time / 1250);
}

/** Supervision timeouts, in units of 10 ms. */
export function timeoutUnits(time: Microseconds): number {
  return Math.round(time / 10_000);
}
