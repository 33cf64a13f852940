import type { Mixture } from './mixture.ts';

/**
 * A delay that begins with a wait spread evenly over 0 to `hold` and goes on as the mixture does, independent of it. With
 * a hold of 0 it is the mixture. Any unit.
 */
export type HeldDelay = { readonly mixture: Mixture; readonly hold: number };

/** The chance of at most `x`: the mean of the mixture's own chance over x - hold to x. */
export function chanceWithinHeld({ mixture, hold }: HeldDelay, x: number): number {
  const { width, pieces } = mixture;
  // The integral of a uniform distribution's chance, in units of its width.
  const area = (t: number): number => (t <= 0 ? 0 : t <= width ? t ** 2 / (2 * width) : t - width / 2);
  let sum = 0;
  for (const { start, weight } of pieces) {
    if (start >= x) break;
    const t = x - start;
    sum += weight * (hold === 0 ? Math.min(1, t / width) : (area(t) - area(t - hold)) / hold);
  }
  return sum;
}

/** The least x that is not exceeded with chance `p`, to a thousandth of the unit; NaN without pieces. */
export function quantileOfHeld(held: HeldDelay, p: number): number {
  const { pieces, width } = held.mixture;
  const first = pieces[0];
  const last = pieces.at(-1);
  if (first === undefined || last === undefined) return Number.NaN;
  let low = first.start;
  let high = last.start + width + held.hold;
  while (high - low > 0.001) {
    const middle = (low + high) / 2;
    if (chanceWithinHeld(held, middle) >= p) high = middle;
    else low = middle;
  }
  return high;
}

export function meanOfHeld({ mixture: { width, pieces }, hold }: HeldDelay): number {
  return pieces.reduce((sum, { start, weight }) => sum + weight * (start + width / 2), 0) + hold / 2;
}
