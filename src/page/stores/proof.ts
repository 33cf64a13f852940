import { signal, type ReadonlySignal } from '@preact/signals';
import type { Finding } from '../../base/finding.ts';
import type { CaseResult, Counts, Family } from '../../proof/verdict.ts';
import type { Table } from '../../table/model.ts';
import type { ReportForm } from '../worker/protocol.ts';
import { contractText } from './contract.ts';
import { askReport, onNews, tell } from './port.ts';

export type PlannedCase = { readonly id: string; readonly family: Family; readonly about: string };

/** A proof from its start to its end. Results so far are kept when it is stopped. */
export type ProofRun = {
  readonly state: 'planning' | 'running' | 'stopping' | 'ended' | 'stopped' | 'refused';
  /** The contract's text that is proved: places of results are offsets into it. */
  readonly text: string;
  /** Families or patterns of ids that were asked for; empty for all. */
  readonly only: readonly string[];
  readonly faults: readonly string[];
  readonly planned: readonly PlannedCase[];
  /** The contract's table, from when the plan is there. */
  readonly table: Table | undefined;
  readonly results: readonly CaseResult[];
  /** When it has ended or was stopped. */
  readonly counts: Counts | undefined;
  /** The errors of a contract that was refused. */
  readonly findings: readonly Finding[];
};

const runNow = signal<ProofRun | undefined>(undefined);
let number = 0;
/** Results since the page last drew; a proof makes hundreds a second. */
let fresh: CaseResult[] = [];
let timer: ReturnType<typeof setTimeout> | undefined;

/** The proof that runs or ran last. Renewed at most 10 times a second while it runs. */
export const proofRun: ReadonlySignal<ProofRun | undefined> = runNow;

/**
 * Proves the contract as it stands in the editor, on a virtual board of its own.
 *
 * @param only families or patterns of case ids (`writes/paddle/*`); empty for all
 * @param faults names of planted faults (board/faults/registry.ts)
 */
export function startProof(only: readonly string[] = [], faults: readonly string[] = []): void {
  number += 1;
  fresh = [];
  const text = contractText.value;
  runNow.value = {
    state: 'planning',
    text,
    only,
    faults,
    planned: [],
    table: undefined,
    results: [],
    counts: undefined,
    findings: [],
  };
  tell('prover', { kind: 'prove', run: number, text, only, faults });
}

/** Stops after the case that runs. */
export function stopProof(): void {
  const run = runNow.value;
  if (run?.state !== 'planning' && run?.state !== 'running') return;
  runNow.value = { ...run, state: 'stopping' };
  tell('prover', { kind: 'stop-proof' });
}

/** The report on the last proof as a file's text; `undefined` when there is none. */
export function proofReport(form: ReportForm, name: string): Promise<string | undefined> {
  return askReport(form, name);
}

function show(change: Partial<ProofRun> = {}): void {
  clearTimeout(timer);
  timer = undefined;
  const run = runNow.value;
  if (run === undefined) return;
  runNow.value = { ...run, ...change, results: fresh.length === 0 ? run.results : [...run.results, ...fresh] };
  fresh = [];
}

onNews('proof', ({ run, news }) => {
  if (run !== number) return;
  switch (news.kind) {
    case 'refused':
      show({ state: 'refused', findings: news.findings });
      return;
    case 'planned':
      show({
        state: runNow.value?.state === 'stopping' ? 'stopping' : 'running',
        planned: news.cases,
        table: news.table,
      });
      return;
    case 'case':
      fresh.push(news.result);
      timer ??= setTimeout(show, 100);
      return;
    case 'ended':
      show({ state: news.stopped ? 'stopped' : 'ended', counts: news.counts });
  }
});
