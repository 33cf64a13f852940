import type { SourceRange } from '../base/text-range.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Bytes } from '../base/bytes.ts';

/** The families of cases, in the order they run: what is seen first on a bench comes first. */
export const families = [
  'advertising',
  'structure',
  'reads',
  'writes',
  'refusals',
  'notifications',
  'indications',
  'long-values',
  'mtu',
  'security',
  'link-loss',
  'caching',
  'malformed',
  'link',
  'timing',
  'soak',
] as const;

export type Family = (typeof families)[number];

/** What each family asks, for headings. */
export const familyTitles: Readonly<Record<Family, string>> = {
  advertising: 'Can the board be found?',
  structure: 'Is the attribute table the one of the contract?',
  reads: 'Is what is read what the board holds?',
  writes: 'Does the board hold what was written?',
  refusals: 'Does the board refuse what the contract forbids?',
  notifications: 'Do notifications tell each change, to whom asked, at the rate allowed?',
  indications: 'Do indications arrive, one at a time?',
  'long-values': 'Do values longer than one packet come and go whole?',
  mtu: 'Does the packet size follow what was agreed?',
  security: 'Is what needs a secure link kept from an open one?',
  'link-loss': 'Is the board safe and ready when the link is lost?',
  caching: 'Can a client that remembers the table trust it?',
  malformed: 'Does the board stand packets that break the protocol?',
  link: 'Does the board keep the link itself in order?',
  timing: 'Does every answer come in time?',
  soak: 'Does all this hold for long?',
};

/**
 * `failed`: the board does not do what the contract says. `not-reachable`: this link cannot ask. `inconclusive`: asked,
 * but nothing was seen that would tell.
 */
export type VerdictWord = 'passed' | 'failed' | 'not-reachable' | 'inconclusive';

/** What became of a case. */
export type Verdict = {
  readonly verdict: VerdictWord;
  /** What the contract asks, in physical units with octets behind. */
  readonly expected: string;
  /** What was seen, in the same form. */
  readonly seen: string;
  /** The case itself broke: a fault of this program, not of the board. */
  readonly bug: boolean;
};

/** What happened in a case, in order: what crossed the air, and beside it what the console and the link did. */
export type Crossing =
  | {
      readonly kind: 'pdu';
      readonly at: Microseconds;
      readonly from: 'central' | 'board';
      /** Which connection of the case, from 1; most cases have one. */
      readonly connection: number;
      readonly pdu: Bytes;
    }
  /** `console`: the board's truth. `link`: a connection begins, ends or is secured. */
  | { readonly kind: 'word'; readonly at: Microseconds; readonly by: 'console' | 'link'; readonly text: string };

/** Crossings that a report does without: a soak has hundreds of thousands. */
export type LeftOut = {
  /** Index in `exchange` of the first one behind the gap. */
  readonly before: number;
  readonly count: number;
};

/** A case that has run, as the reports show it. */
export type CaseResult = Verdict & {
  readonly id: string;
  readonly family: Family;
  readonly kind: string;
  readonly about: string;
  readonly place: SourceRange;
  /** The beginning and the end of what happened; `leftOut` says what stood between them. */
  readonly exchange: readonly Crossing[];
  readonly leftOut: LeftOut | undefined;
  /** How long the case took on the link's clock. */
  readonly took: Microseconds;
};

export type Counts = {
  readonly passed: number;
  readonly failed: number;
  readonly notReachable: number;
  readonly inconclusive: number;
};

export function countVerdicts(results: readonly { readonly verdict: VerdictWord }[]): Counts {
  const count = (verdict: VerdictWord): number => results.filter((one) => one.verdict === verdict).length;
  return {
    passed: count('passed'),
    failed: count('failed'),
    notReachable: count('not-reachable'),
    inconclusive: count('inconclusive'),
  };
}
