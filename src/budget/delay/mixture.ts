/**
 * A mixture of uniform distributions of one width: `pieces[i]` spreads its weight evenly over start to start + width.
 * Weights sum to 1. Any unit.
 */
export type Mixture = {
  readonly width: number;
  /** Ascending starts. */
  readonly pieces: readonly { readonly start: number; readonly weight: number }[];
};

/** Pieces with the same start are put together and all are sorted. */
export function mixture(width: number, pieces: Mixture['pieces']): Mixture {
  const byStart = new Map<number, number>();
  for (const { start, weight } of pieces) byStart.set(start, (byStart.get(start) ?? 0) + weight);
  return {
    width,
    pieces: [...byStart].map(([start, weight]) => ({ start, weight })).sort((a, b) => a.start - b.start),
  };
}

/** The chance of at most `x`. */
export function chanceWithin({ width, pieces }: Mixture, x: number): number {
  let sum = 0;
  for (const { start, weight } of pieces) {
    if (start >= x) break;
    sum += weight * Math.min(1, (x - start) / width);
  }
  return sum;
}

export function meanOf({ width, pieces }: Mixture): number {
  return pieces.reduce((sum, { start, weight }) => sum + weight * (start + width / 2), 0);
}

/** The least x that is not exceeded with chance `p`, to a thousandth of the unit. */
export function quantile(of: Mixture, p: number): number {
  let low = of.pieces[0]?.start ?? 0;
  let high = (of.pieces.at(-1)?.start ?? 0) + of.width;
  while (high - low > 0.001) {
    const middle = (low + high) / 2;
    if (chanceWithin(of, middle) >= p) high = middle;
    else low = middle;
  }
  return high;
}
