import type { SourceRange } from '../../base/text-range.ts';

/**
 * What a change does to clients that were made for the old contract, worst first: they break; they work again once they
 * have discovered the table anew; they keep working as they are.
 */
export const effects = ['breaks', 'must-rediscover', 'keeps-working'] as const;

export type Effect = (typeof effects)[number];

/** One difference between two tables, as it concerns clients. */
export type Change = {
  readonly effect: Effect;
  /** Kebab case, stable: `range-narrowed`. */
  readonly kind: string;
  /** What has changed: `tank / paddle`, `service tank`, `board`, `connection`. */
  readonly about: string;
  /** What was and what is, a sentence part with units. */
  readonly reason: string;
  /** What a client made for the old contract sees. */
  readonly client: string;
  /** An imperative: how to avoid the change or to live with it. */
  readonly remedy: string;
  /** The contract's words behind it, in the old and in the new text; `undefined` where there are none. */
  readonly old: SourceRange | undefined;
  readonly new: SourceRange | undefined;
};

/** A change whose subject and places are known from where it was found. */
export type Difference = Pick<Change, 'effect' | 'kind' | 'reason' | 'client' | 'remedy'>;

/** Worst first; within one effect in the order found. */
export function worstFirst(changes: readonly Change[]): readonly Change[] {
  return effects.flatMap((effect) => changes.filter((change) => change.effect === effect));
}

/** How many changes have each effect. */
export function countEffects(changes: readonly Change[]): Readonly<Record<Effect, number>> {
  const count = (effect: Effect): number => changes.filter((change) => change.effect === effect).length;
  return {
    breaks: count('breaks'),
    'must-rediscover': count('must-rediscover'),
    'keeps-working': count('keeps-working'),
  };
}
