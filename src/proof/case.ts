import type { SourceRange } from '../base/text-range.ts';
import type { Reach } from '../att/link.ts';
import type { Trial } from './trial.ts';
import type { Family } from './verdict.ts';

/**
 * One thing to prove about a board, derived from the contract's table. It starts from a fresh connection and leaves the
 * values it touched as it found them.
 */
export type Case = {
  /** Stable over runs, and over changes of the contract that do not concern it: `writes/paddle/max`. */
  readonly id: string;
  readonly family: Family;
  /** What is done, whatever it is done to: `writes/max`. */
  readonly kind: string;
  /** One sentence in the user's words. */
  readonly about: string;
  /** What the link must be able to do; without it the case is not reachable. */
  readonly requires: readonly Reach[];
  /** The contract's words this case comes from. */
  readonly place: SourceRange;
  /** Looks at the board as it was found: runs before anything is changed. */
  readonly asFound: boolean;
  /** Works on the board and makes claims about what it sees. */
  readonly run: (trial: Trial) => Promise<void>;
};
