import { us, type Microseconds } from '../../base/quantity.ts';
import type { NotifyPolicy } from '../model.ts';

/** A rate as a contract writes it, at most one in `spacing`: `16 Hz`, `0.12 Hz`. */
export function rateOf(spacing: Microseconds): string {
  const hertz = 1_000_000 / spacing;
  return `${hertz >= 1 ? Math.floor(hertz) : Math.floor(hertz * 100) / 100} Hz`;
}

/** The shortest time between two messages that the policy allows; `undefined` when it has no bound. */
export function shortestSpacing({ on, minSpacing }: NotifyPolicy): Microseconds | undefined {
  if (on.kind === 'change') return minSpacing;
  return us(Math.max(on.period, minSpacing ?? 0));
}
