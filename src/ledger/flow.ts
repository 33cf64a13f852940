import type { Bytes } from '../base/bytes.ts';
import type { MarkKind } from './mark.ts';
import type { TruthHistory, Version } from './truth-history.ts';

/**
 * What one subscription brings: it says of each value that arrives which change it carried and what is wrong with it, and
 * of each change that should have come and did not that it is lost. Times are the host's, microseconds.
 */
export type Flow = {
  /**
   * A value has come.
   *
   * @param room octets that one packet holds; `undefined` where nobody knows
   */
  arrive(value: Bytes, at: number, room: number | undefined): Verdict;
  /** All that arrived and all that was told up to `now` is known. */
  advance(now: number): void;
  /** The subscription or its connection ended: what was still on its way is not missed. */
  end(at: number): void;
  /** Something was not told: what was due until now cannot be missed. */
  restart(at: number): void;
};

export type Verdict = {
  readonly version: Version | undefined;
  readonly mark: MarkKind | undefined;
  /** Microseconds beyond what is allowed; 0 where that says nothing. */
  readonly by: number;
  /** The first to carry its version on this flow: its delay counts. */
  readonly isNew: boolean;
  /** Not told by the console what the truth was: nothing can be said. */
  readonly unjudged: boolean;
};

export type FlowContext = {
  readonly history: TruthHistory;
  /** Shortest time between two sendings, 0 for none; and for `every` the period. */
  readonly spacing: number;
  /** How long a value may be on its way. */
  readonly transit: number;
  /** How long something that did not come is waited for until it is lost. */
  readonly patience: number;
  /** Of the board's clock on the host's, now. */
  uncertainty(): number;
  lost(version: Version | undefined, due: number): void;
  /** So many changes went by that the policy lets go: a newer one was sent in their place. */
  coalesced(count: number): void;
};

/** A sending that should have arrived by now. */
export type Missing = {
  readonly version: number;
  readonly due: number;
  /** A newer one has arrived: if it comes yet, it comes out of order. */
  overtaken: boolean;
};

/** The change that was due, in time. */
export const right = (version: Version): Verdict => ({
  version,
  mark: undefined,
  by: 0,
  isNew: true,
  unjudged: false,
});

export const marked = (mark: MarkKind, version: Version | undefined, by = 0): Verdict => ({
  version,
  mark,
  by: Math.round(by),
  isNew: version !== undefined && mark !== 'duplicated',
  unjudged: false,
});

export const unjudged: Verdict = { version: undefined, mark: undefined, by: 0, isNew: false, unjudged: true };
