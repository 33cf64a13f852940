import type { Verdict, VerdictWord } from './verdict.ts';

/** More than this many sentences in a verdict nobody reads. */
const mostSentences = 6;

/**
 * What a case claims, step by step. The first claim that does not hold ends the case: everything after it answers
 * blank and claims nothing, so that a case can be written straight down without asking at each step whether to go on.
 */
export class Claims {
  readonly #expected: string[] = [];
  /** What goes without saying, told only where nothing else was claimed. */
  readonly #plain: string[] = [];
  readonly #seen: string[] = [];
  #end: { readonly verdict: VerdictWord; readonly expected: string; readonly seen: string } | undefined;

  /** True once the verdict stands. */
  get over(): boolean {
    return this.#end !== undefined;
  }

  /**
   * @param ok whether what was seen is what was expected
   * @param expected a sentence part: `the board holds 4 Hz (90 01)`
   * @param otherwise what was seen when it was not
   */
  claim(ok: boolean, expected: string, otherwise = 'something else'): void {
    if (this.over) return;
    if (!ok) this.#end = { verdict: 'failed', expected, seen: otherwise };
    else if (!this.#expected.includes(expected)) this.#expected.push(expected);
  }

  /** As {@link claim}, of what every case needs and no report needs to tell: that the board answers, that reading works. */
  require(ok: boolean, expected: string, otherwise = 'something else'): void {
    if (!ok || this.over) this.claim(ok, expected, otherwise);
    else if (!this.#plain.includes(expected)) this.#plain.push(expected);
  }

  /** As {@link claim}, with words of what was seen that are worth telling in either case. */
  observe(ok: boolean, expected: string, seen: string): void {
    if (!this.over && ok && !this.#seen.includes(seen)) this.#seen.push(seen);
    this.claim(ok, expected, seen);
  }

  /** Ends the case without a claim: the link cannot, or nothing tells. */
  giveUp(verdict: 'not-reachable' | 'inconclusive', expected: string, why: string): void {
    this.#end ??= { verdict, expected, seen: why };
  }

  verdict(): Verdict {
    if (this.#end !== undefined) return { ...this.#end, bug: false };
    const expected = this.#expected.length > 0 ? this.#expected : this.#plain;
    if (expected.length === 0) {
      return { verdict: 'inconclusive', expected: 'something to see', seen: 'nothing was claimed', bug: false };
    }
    return {
      verdict: 'passed',
      expected: sentences(expected),
      seen: this.#seen.length === 0 ? 'as expected' : sentences(this.#seen),
      bug: false,
    };
  }
}

function sentences(parts: readonly string[]): string {
  const more = parts.length - mostSentences;
  return parts.slice(0, mostSentences).join('; ') + (more > 0 ? `; and ${more} more` : '');
}
