import type { SourceRange } from './text-range.ts';

/** Errors stop what is derived from a contract; warnings can be waived in it with a written reason; notes inform. */
export type Severity = 'error' | 'warning' | 'note';

/** Another place that has to do with a finding: the first of two equal ids, the range that a value breaks. */
export type Related = { readonly message: string; readonly at: SourceRange };

export type TextEdit = { readonly at: SourceRange; readonly text: string };

/** A change to the text that removes the finding; `title` is an imperative a person reads on a button. */
export type Fix = { readonly title: string; readonly edits: readonly TextEdit[] };

/** One diagnostic: what is wrong, where, and what to do. Rendering (lines, colours) happens at the edge. */
export type Finding = {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  /** What to do, as an imperative with the concrete edit. */
  readonly hint: string;
  readonly at: SourceRange;
  readonly related: readonly Related[];
  readonly fixes: readonly Fix[];
};

/** A stage's result: as much of the value as could be made, and everything found on the way. */
export type Checked<T> = { readonly value: T | undefined; readonly findings: readonly Finding[] };

/** The catalogue entry of one code; `gattwright explain CODE` prints it. */
export type FindingDoc = {
  /** Kebab case, stable, never used again for something else. */
  readonly code: string;
  readonly severity: Severity;
  /** What the finding is about in a few words, as a heading. */
  readonly title: string;
  /** Why it matters to the person at the bench. */
  readonly why: string;
  /** The standard's section, or `common practice`, or `contract language`. */
  readonly source: string;
  /**
   * A small contract that has the finding, and the same contract without it. A test holds the pair to that. Both empty
   * for findings about a board, which no text has by itself.
   */
  readonly bad: string;
  readonly good: string;
};

/** A kind of finding: its documentation, and a maker whose arguments are checked by the compiler. */
export type FindingKind<Args> = {
  readonly doc: FindingDoc;
  at(range: SourceRange, args: Args, extra?: { related?: readonly Related[]; fixes?: readonly Fix[] }): Finding;
};

/**
 * Declares a kind of finding. Wording: lower-case start, one sentence, no full stop; found and allowed value with units;
 * names from the contract in backticks.
 */
export function findingKind<Args>(
  declaration: FindingDoc & { readonly message: (args: Args) => string; readonly hint: (args: Args) => string },
): FindingKind<Args> {
  const { message, hint, ...doc } = declaration;
  return {
    doc,
    at: (range, args, extra) => ({
      code: doc.code,
      severity: doc.severity,
      message: message(args),
      hint: hint(args),
      at: range,
      related: extra?.related ?? [],
      fixes: extra?.fixes ?? [],
    }),
  };
}

/** By place, then code, then message: the same findings always come in the same order. */
export function sortFindings(findings: readonly Finding[]): readonly Finding[] {
  return [...findings].sort(
    (a, b) =>
      a.at.start - b.at.start ||
      a.at.end - b.at.end ||
      compareText(a.code, b.code) ||
      compareText(a.message, b.message),
  );
}

export function hasErrors(findings: readonly Finding[]): boolean {
  return findings.some((finding) => finding.severity === 'error');
}

/** Orders by UTF-16 units, so that no locale changes an artifact. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
