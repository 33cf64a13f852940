import { us } from '../base/quantity.ts';
import { seededRandom } from '../base/random.ts';
import type { Link } from '../att/link.ts';
import type { Table } from '../table/model.ts';
import type { Case } from './case.ts';
import { Journal } from './journal.ts';
import { planProof } from './plan.ts';
import { Trial, type Aftermath } from './trial.ts';
import { Truth } from './truth.ts';
import { countVerdicts, type CaseResult, type Counts, type Verdict } from './verdict.ts';
import { listWords } from './words.ts';

export type ProofOptions = {
  /** What is proved; default all that the table asks for. */
  readonly cases?: readonly Case[];
  /** A whole number, 0..2^32-1, default 1: fuzz and soak follow from it. */
  readonly seed?: number;
  /** Called after each case; the proof waits for what it gives back, so that a page can draw. */
  readonly onCase?: (result: CaseResult, progress: Progress) => void | Promise<void>;
  /** An `AbortSignal`, or anything like it. What was proved so far is kept; a case that is ended in the middle is not. */
  readonly signal?: { readonly aborted: boolean };
  /** Called now and then within long cases; the proof waits for what it gives back, so that a stop can be heard. */
  readonly breathe?: () => void | Promise<void>;
};

export type Progress = { readonly done: number; readonly total: number };

export type ProofResult = {
  /** How the board was reached: `virtual board, in memory`. */
  readonly link: string;
  readonly seed: number;
  /** In the order of the plan. */
  readonly results: readonly CaseResult[];
  /** Cases that were asked for; more than there are results when the proof was stopped. */
  readonly total: number;
  readonly counts: Counts;
};

/** Proves a board case by case. It never throws for what a board or a link does, nor for a mistake within one case. */
export async function runProof(link: Link, table: Table, options: ProofOptions = {}): Promise<ProofResult> {
  const { cases = planProof(table), seed = 1, onCase, signal, breathe } = options;
  const results: CaseResult[] = [];
  const aftermath: Aftermath = { leftAt: us(0) };
  let settled = false;
  for (const one of cases) {
    if (signal?.aborted === true) break;
    if (!one.asFound && !settled) {
      settled = true;
      await settle(link, table);
    }
    const random = seededRandom(seedOf(seed, one.id));
    const result = await runCase(one, link, () => new Trial(table, link, random, aftermath, { breathe, signal }));
    if (result === undefined) break;
    results.push(result);
    await onCase?.(result, { done: results.length, total: cases.length });
  }
  return { link: link.name, seed, results, total: cases.length, counts: countVerdicts(results) };
}

/** True when every case that was asked for passed or could not be reached. */
export function isProved({ results, total, counts }: ProofResult): boolean {
  return results.length === total && counts.failed === 0 && counts.inconclusive === 0;
}

/** Each value with a failsafe is taken there: no case then finds one under way from before. */
async function settle(link: Link, table: Table): Promise<void> {
  if (link.console === undefined) return;
  const truth = new Truth(link.console, link.clock);
  for (const { id, onLinkLoss } of table.values) {
    if (onLinkLoss.kind === 'set') await truth.set(id, onLinkLoss.raw);
  }
  truth.close();
}

/** @returns `undefined` when the proof was ended in the middle of the case */
async function runCase(one: Case, link: Link, begin: () => Trial): Promise<CaseResult | undefined> {
  const { id, family, kind, about, place } = one;
  const start = link.clock.now();
  const missing = one.requires.filter((reach) => !link.reaches.has(reach));
  const trial = missing.length > 0 ? undefined : begin();
  const verdict = trial === undefined ? notReachable(missing) : await attempt(one, trial);
  if (trial?.stopped === true) return undefined;
  const exchange = (trial?.journal ?? new Journal()).exchange();
  return { id, family, kind, about, place, ...verdict, ...exchange, took: us(link.clock.now() - start) };
}

function notReachable(missing: readonly string[]): Verdict {
  const seen = `this link does not reach: ${listWords(missing)}`;
  return { verdict: 'not-reachable', expected: 'a link that can ask this', seen, bug: false };
}

/** A mistake of ours in one case must not take the others with it, nor pass for the board's. */
async function attempt(one: Case, trial: Trial): Promise<Verdict> {
  let mistake: unknown;
  try {
    await one.run(trial);
  } catch (error) {
    mistake = error;
  }
  try {
    await trial.close();
  } catch (error) {
    mistake ??= error;
  }
  if (mistake === undefined) return trial.claims.verdict();
  const seen = `the case itself broke: ${mistake instanceof Error ? mistake.message : 'something was thrown'}`;
  return { verdict: 'failed', expected: 'a case that runs', seen, bug: true };
}

/** A stream of its own for each case: leaving one out does not change the others. FNV-1a over the id. */
function seedOf(seed: number, id: string): number {
  let hash = 0x811c9dc5 ^ seed;
  for (let i = 0; i < id.length; i++) hash = Math.imul(hash ^ id.charCodeAt(i), 0x01000193);
  return hash >>> 0;
}
