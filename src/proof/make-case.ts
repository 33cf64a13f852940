import type { SourceRange } from '../base/text-range.ts';
import type { Reach } from '../att/link.ts';
import type { Case } from './case.ts';
import type { Trial } from './trial.ts';
import type { Family } from './verdict.ts';

export type Draft = {
  /** What it is done to: the id of a value or a service, `table` or `board`. */
  readonly subject: string;
  /** What is done: `change`. */
  readonly kind: string;
  /** Sets several cases of one kind on one subject apart: `max`; the kind unless given. */
  readonly name?: string;
  readonly about: string;
  readonly requires?: readonly Reach[];
  readonly place: SourceRange;
  /** Default false. */
  readonly asFound?: boolean;
  readonly run: (trial: Trial) => Promise<void>;
};

/** Gives the drafts of one family their ids. */
export function makeCases(family: Family, drafts: readonly Draft[]): readonly Case[] {
  return drafts.map(({ subject, kind, name = kind, about, requires = [], place, asFound = false, run }) => ({
    id: `${family}/${subject}/${name}`,
    family,
    kind: `${family}/${kind}`,
    about,
    requires: [...new Set(requires)],
    place,
    asFound,
    run,
  }));
}

/** The drafts for which there is a reason, in order. */
export function when(condition: boolean, ...drafts: readonly Draft[]): readonly Draft[] {
  return condition ? drafts : [];
}
