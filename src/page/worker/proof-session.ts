import { VirtualClock } from '../../base/clock.ts';
import { VirtualBoard } from '../../board/virtual-board.ts';
import { inMemoryLink } from '../../links/in-memory.ts';
import { planProof } from '../../proof/plan.ts';
import { runProof, type ProofResult } from '../../proof/run.ts';
import type { Table } from '../../table/model.ts';
import { chosenFault } from './chosen-fault.ts';
import { checkText } from './check-text.ts';
import { chosenRig } from './chosen-rig.ts';
import { nextTurn } from './next-turn.ts';
import type { ProofNews } from './protocol.ts';

export type ProofRequest = {
  readonly text: string;
  readonly only: readonly string[];
  readonly faults: readonly string[];
};

/** What a report is made from. */
export type Proved = { readonly table: Table; readonly text: string; readonly result: ProofResult };

/**
 * Proves a board of its own on virtual time, and tells how it goes. Between two cases the worker's other messages get
 * their turn, among them the one that stops it.
 *
 * @returns `undefined` when the contract has errors
 */
export async function proveContract(
  { text, only, faults }: ProofRequest,
  signal: { readonly aborted: boolean },
  tell: (news: ProofNews) => void,
): Promise<Proved | undefined> {
  const { value, findings } = await checkText(text);
  if (value === undefined) {
    tell({ kind: 'refused', findings });
    return undefined;
  }
  const { table } = value;
  const cases = planProof(table, { only });
  tell({ kind: 'planned', table, cases: cases.map(({ id, family, about }) => ({ id, family, about })) });
  const clock = new VirtualClock();
  const board = new VirtualBoard(table, { clock, rig: (await chosenRig(table)).rig, fault: chosenFault(faults) });
  const link = inMemoryLink(board);
  const result = await runProof(link, table, {
    cases,
    signal,
    onCase: async (one, { done, total }) => {
      tell({ kind: 'case', done, total, result: one });
      await nextTurn();
    },
  });
  await link.close();
  board.stop();
  tell({ kind: 'ended', stopped: result.results.length < result.total, counts: result.counts });
  return { table, text, result };
}
