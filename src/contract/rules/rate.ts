import type { Microseconds } from '../../base/quantity.ts';

/** A rate as a contract writes it, at most one in `spacing`: `16 Hz`, `0.12 Hz`. */
export function rateOf(spacing: Microseconds): string {
  const hertz = 1_000_000 / spacing;
  return `${hertz >= 1 ? Math.floor(hertz) : Math.floor(hertz * 100) / 100} Hz`;
}
