import type { Random } from '../../base/random.ts';

/**
 * How a scanner keeps from asking at every advertisement when many scanners ask at once. Core Vol 6 Part B 4.4.3.2:
 * requests are sent only when the count has run down; two failures in a row double its bound, two answers in a row halve
 * it.
 */
export type ScanBackoff = {
  readonly bound: number;
  readonly count: number;
  /** Positive: answers in a row; negative: failures. */
  readonly row: number;
};

export const freshBackoff: ScanBackoff = { bound: 1, count: 1, row: 0 };

const greatestBound = 256;

/** An advertisement that could be asked about: tells whether to ask. */
export function hearAdvertisement(backoff: ScanBackoff): { readonly backoff: ScanBackoff; readonly ask: boolean } {
  const count = backoff.count - 1;
  return { backoff: { ...backoff, count: Math.max(count, 0) }, ask: count <= 0 };
}

/** A request was answered, or not. */
export function asked(backoff: ScanBackoff, answered: boolean, random: Random): ScanBackoff {
  const row = answered ? Math.max(backoff.row, 0) + 1 : Math.min(backoff.row, 0) - 1;
  let { bound } = backoff;
  if (row === 2) bound = Math.max(1, bound / 2);
  if (row === -2) bound = Math.min(greatestBound, bound * 2);
  return { bound, count: 1 + random.int(bound), row: Math.abs(row) === 2 ? 0 : row };
}
