import { computed, type ReadonlySignal } from '@preact/signals';
import { lineIndex, type LineIndex } from '../../base/text-range.ts';
import {
  countVerdicts,
  families,
  familyTitles,
  type CaseResult,
  type Counts,
  type Family,
} from '../../proof/verdict.ts';
import { planted } from '../stores/board.ts';
import { contractText } from '../stores/contract.ts';
import { proofRun, type PlannedCase } from '../stores/proof.ts';

/** What the proof's run says of one family. */
export type FamilyFacts = {
  readonly family: Family;
  /** What it asks. */
  readonly title: string;
  /** Cases that are to run in this proof; 0 before a proof, and for families that were not asked for. */
  readonly planned: number;
  readonly results: readonly CaseResult[];
  readonly counts: Counts;
};

export const isUnderWay: ReadonlySignal<boolean> = computed(() => {
  const state = proofRun.value?.state;
  return state === 'planning' || state === 'running' || state === 'stopping';
});

/** The case that runs now. */
export const currentCase: ReadonlySignal<PlannedCase | undefined> = computed(() => {
  const run = proofRun.value;
  return run?.state === 'running' || run?.state === 'stopping' ? run.planned[run.results.length] : undefined;
});

export const counts: ReadonlySignal<Counts> = computed(() => countVerdicts(proofRun.value?.results ?? []));

/** The families that can be asked here: the page reaches its board in memory, where nothing lies below ATT. */
export const askedFamilies: readonly Family[] = families.filter((family) => family !== 'link');

/** All families in the order they run. */
export const familyFacts: ReadonlySignal<readonly FamilyFacts[]> = computed(() => {
  const planned = new Map<Family, number>();
  for (const { family } of proofRun.value?.planned ?? []) planned.set(family, (planned.get(family) ?? 0) + 1);
  const results = new Map<Family, CaseResult[]>(askedFamilies.map((family) => [family, []]));
  for (const result of proofRun.value?.results ?? []) results.get(result.family)?.push(result);
  return askedFamilies.map((family) => {
    const own = results.get(family) ?? [];
    return {
      family,
      title: familyTitles[family],
      planned: planned.get(family) ?? 0,
      results: own,
      counts: countVerdicts(own),
    };
  });
});

/** What a reader must look at, failures before what nothing was learned about. */
export const attention: ReadonlySignal<readonly CaseResult[]> = computed(() => {
  const results = proofRun.value?.results ?? [];
  const of = (word: CaseResult['verdict']): readonly CaseResult[] => results.filter(({ verdict }) => verdict === word);
  return [...of('failed'), ...of('inconclusive')];
});

/** Lines of the text that was proved. */
export const provedLines: ReadonlySignal<LineIndex> = computed(() => lineIndex(proofRun.value?.text ?? ''));

/** The proof is of an older text than the editor's: its places are not to be found there any more. */
export const isOfOlderText: ReadonlySignal<boolean> = computed(
  () => proofRun.value !== undefined && proofRun.value.text !== contractText.value,
);

/** Other faults are planted now than in the board that was proved. */
export const isOfOtherFaults: ReadonlySignal<boolean> = computed(() => {
  const run = proofRun.value;
  return run !== undefined && [...run.faults].sort().join() !== [...planted.value].sort().join();
});
