import { zero, type Rational } from '../../base/rational.ts';
import type { End } from './line.ts';
import type { PlanNumber, PlanSegment } from './plan.ts';

/** A segment in the making, with what its proof needs to know. */
export type Draft = {
  readonly segment: PlanSegment;
  /** What the words should be; `undefined` where the drive is held at an end, or stands still. */
  readonly ideal: Ideal | undefined;
  /** True when every word is proved to be the nearest to its ideal, or the end that it is held at. */
  readonly exact: boolean;
  /** Proved bounds of the errors: in words, and in the value's unit. */
  readonly bound: ErrorBound;
};

export type ErrorBound = { readonly words: Rational; readonly value: Rational };

/** The exact, real-valued word as a function of the input. */
export type Ideal = LineIdeal | CountIdeal;

/** slope * input + offset. */
export type LineIdeal = {
  readonly kind: 'line';
  /** Index of the word in the plan. */
  readonly word: number;
  readonly slope: Rational;
  readonly offset: Rational;
  /** Change of the value for one step of the word. */
  readonly valuePerWord: Rational;
};

/** total / |input| - 1. */
export type CountIdeal = {
  readonly kind: 'count';
  readonly word: number;
  /** Counts at the input 1. */
  readonly total: Rational;
  /** Frequency of one count, in the value's unit: frequency = clock / count. */
  readonly clock: Rational;
};

/** The one segment in which the drive is held at an end or stands still; none when `from` is above `to`. */
export function heldDraft(
  from: bigint,
  to: bigint,
  limited: End | undefined,
  words: readonly bigint[],
): readonly Draft[] {
  if (from > to) return [];
  const segment = { from, to, limited, steps: [], words: words.map(constantNumber) };
  return [{ segment, ideal: undefined, exact: true, bound: { words: zero, value: zero } }];
}

export function constantNumber(value: bigint): PlanNumber {
  return { kind: 'constant', value };
}
