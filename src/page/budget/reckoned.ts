import { computed, effect, signal, type ReadonlySignal } from '@preact/signals';
import { defaultQuestion, type Budget, type BudgetPart, type BudgetQuestion } from '../../budget/budget.ts';
import { parametersOf, radioProblems, type RadioProblem } from '../../budget/limits/connection-limits.ts';
import { withWhatIf } from '../../budget/what-if.ts';
import type { Compiled } from '../../table/compiled.ts';
import type { Table } from '../../table/model.ts';
import { lastGood } from '../stores/contract.ts';
import { onNews, tell } from '../stores/port.ts';
import { surroundings, tried } from './tried.ts';

/** Parts as they come; each is of the newest question that it was reckoned for. */
export type Parts = { readonly [Part in BudgetPart]?: Budget[Part] };

const partsNow = signal<Parts>({});
const busyNow = signal(false);
/** The part whose inputs were touched last: it is reckoned first. */
let first: BudgetPart | undefined;
let number = 0;
let frame: number | undefined;

export const parts: ReadonlySignal<Parts> = partsNow;
/** Some part is of an older question still. */
export const isReckoning: ReadonlySignal<boolean> = busyNow;

/** The contract that the budget is about: the newest text without errors. */
export const contractNow: ReadonlySignal<Compiled | undefined> = lastGood;

/** The contract’s table with what is tried. */
export const tableNow: ReadonlySignal<Table | undefined> = computed(() => {
  const compiled = contractNow.value;
  return compiled === undefined ? undefined : withWhatIf(compiled.table, tried.value);
});

/** Parameters that no controller takes: nothing is reckoned while there are any. */
export const problems: ReadonlySignal<readonly RadioProblem[]> = computed(() => {
  const table = tableNow.value;
  return table === undefined ? [] : radioProblems(parametersOf(table.radio, surroundings.value.packetErrorRate));
});

const questionNow: ReadonlySignal<BudgetQuestion | undefined> = computed(() => {
  const compiled = contractNow.value;
  if (compiled === undefined) return undefined;
  const base = defaultQuestion(compiled.table, compiled.contract.board.nameTemplate);
  const { packetErrorRate, encrypted, scan, advertising, connected, supply } = surroundings.value;
  return {
    ...base,
    packetErrorRate,
    encrypted: encrypted ?? base.encrypted,
    supply,
    patterns: [scan],
    room: { ...base.room, advertising, connected, scan },
  };
});

/** Says which part is looked at, before an input of it moves. */
export function lookAt(part: BudgetPart): void {
  first = part;
}

/** Keeps the parts up with contract and inputs while the view is shown, once a frame at most. Returns how to stop. */
export function followBudget(): () => void {
  const stop = effect(() => {
    const table = tableNow.value;
    const question = questionNow.value;
    if (table === undefined || question === undefined || problems.value.length > 0) return;
    busyNow.value = true;
    if (frame !== undefined) cancelAnimationFrame(frame);
    frame = requestAnimationFrame(() => {
      frame = undefined;
      number += 1;
      tell('reckoner', { kind: 'budget', number, table, question, first });
    });
  });
  return () => {
    stop();
    if (frame !== undefined) cancelAnimationFrame(frame);
    frame = undefined;
  };
}

onNews('budget-part', ({ number: answered, result }) => {
  // A part of the question before is nearer than what stands there.
  if (answered > number) return;
  partsNow.value = { ...partsNow.peek(), [result.part]: result.value };
});

onNews('budget-done', ({ number: answered }) => {
  if (answered === number) busyNow.value = false;
});
