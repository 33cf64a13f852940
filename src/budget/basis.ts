/** What a result stands on. Every part of a budget carries one, so that no number is shown without it. */
export type Basis = {
  /** With the symbols that the part's own fields use; units are said. */
  readonly formula: string;
  /** Standard and section, paper, or how it was derived. */
  readonly source: string;
  readonly assumes: readonly string[];
  /** Where the result stops being true. */
  readonly validity: readonly string[];
};

/** A closed form and a seeded run on the same parameters. */
export type Compared = {
  readonly closed: number;
  readonly run: number;
  /** run - closed. */
  readonly difference: number;
  /** Half the width of the run's 95 % confidence interval; `undefined` where the run has no chance in it. */
  readonly halfWidth: number | undefined;
};

export function compared(closed: number, run: number, halfWidth?: number): Compared {
  return { closed, run, difference: run - closed, halfWidth };
}
