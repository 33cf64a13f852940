import { computed, signal, type ReadonlySignal } from '@preact/signals';
import type { CaseResult, Family, VerdictWord } from '../../proof/verdict.ts';
import { proofRun } from '../stores/proof.ts';
import { matchesWords } from './matches-words.ts';

/** Rows of a list shown at once; more on request. */
const pageSize = 50;

const familyNow = signal<Family | undefined>(undefined);
const verdictNow = signal<VerdictWord | undefined>(undefined);
const wordsNow = signal('');
const openNow = signal<string | undefined>(undefined);
const mostNow = signal(pageSize);

/** The family whose cases are listed; `undefined` for all. */
export const listedFamily: ReadonlySignal<Family | undefined> = familyNow;
export const listedVerdict: ReadonlySignal<VerdictWord | undefined> = verdictNow;
export const caseWords: ReadonlySignal<string> = wordsNow;
/** Id of the case that is shown in full. */
export const openCase: ReadonlySignal<string | undefined> = openNow;

/** The cases that are asked for, and how many of them are shown. */
export const listedCases: ReadonlySignal<readonly CaseResult[]> = computed(() =>
  (proofRun.value?.results ?? []).filter(
    ({ id, about, family, verdict }) =>
      (familyNow.value === undefined || family === familyNow.value) &&
      (verdictNow.value === undefined || verdict === verdictNow.value) &&
      matchesWords(`${id} ${about}`, wordsNow.value),
  ),
);
export const mostShown: ReadonlySignal<number> = mostNow;

export function browseFamily(family: Family | undefined): void {
  familyNow.value = family;
  mostNow.value = pageSize;
}

export function browseVerdict(verdict: VerdictWord | undefined): void {
  verdictNow.value = verdict;
  mostNow.value = pageSize;
}

export function findCases(words: string): void {
  wordsNow.value = words;
  mostNow.value = pageSize;
}

export function showMoreCases(): void {
  mostNow.value += pageSize;
}

/** Shows a case in full, or shuts the one that is shown. */
export function toggleCase(id: string): void {
  openNow.value = openNow.value === id ? undefined : id;
}
