import type { Microseconds } from '../../src/base/quantity.ts';
import { VirtualClock } from '../../src/base/clock.ts';
import type { Link } from '../../src/att/link.ts';
import type { Fault, Rig } from '../../src/board/model.ts';
import { VirtualBoard } from '../../src/board/virtual-board.ts';
import { inMemoryLink } from '../../src/links/in-memory.ts';
import { virtualHostedBoard } from '../../src/links/virtual-hosted-board.ts';
import { virtualRadio, type VirtualRadioOptions } from '../../src/links/virtual-radio.ts';
import { planProof, type PlanOptions } from '../../src/proof/plan.ts';
import { runProof, type ProofOptions, type ProofResult } from '../../src/proof/run.ts';
import type { CaseResult } from '../../src/proof/verdict.ts';
import type { Table } from '../../src/table/model.ts';

export type BoardUnderTest = {
  readonly fault?: Fault | undefined;
  readonly rig?: Rig<unknown>;
  readonly seed?: number;
  readonly latency?: Microseconds;
};

/** A link to a fresh virtual board for the table, in memory, on a clock of its own. */
export function freshLink(table: Table, { latency, ...board }: BoardUnderTest = {}): Link {
  const virtual = new VirtualBoard(table, { clock: new VirtualClock(), ...board });
  return inMemoryLink(virtual, latency === undefined ? {} : { latency });
}

/** A link to a fresh virtual board behind a controller of the virtual radio, on a clock of its own. */
export function freshRadioLink(
  table: Table,
  board: BoardUnderTest = {},
  radio: Omit<VirtualRadioOptions, 'clock'> = {},
): Link {
  const clock = new VirtualClock();
  return virtualRadio(table, virtualHostedBoard(table, { clock, ...board }), { clock, ...radio });
}

/** Proves a fresh board over the virtual radio, and what lies below ATT. */
export function proveOverRadio(
  table: Table,
  options: PlanOptions &
    ProofOptions & { readonly board?: BoardUnderTest; readonly radio?: Omit<VirtualRadioOptions, 'clock'> } = {},
): Promise<ProofResult> {
  const { board, radio, ...rest } = options;
  return prove(table, { ...rest, below: true, link: freshRadioLink(table, board, radio) });
}

/** Proves a fresh board. */
export function prove(
  table: Table,
  options: PlanOptions & ProofOptions & { readonly board?: BoardUnderTest; readonly link?: Link } = {},
): Promise<ProofResult> {
  const { board, link = freshLink(table, board), cases = planProof(table, options), ...rest } = options;
  return runProof(link, table, { ...rest, cases });
}

/** What a test shows of the cases that did not pass. */
export function troubles({ results }: ProofResult): readonly string[] {
  return results.filter(({ verdict }) => verdict !== 'passed').map(trouble);
}

export function trouble({ id, verdict, bug, expected, seen }: CaseResult): string {
  return `${id} ${bug ? 'broke' : verdict}: expected ${expected}; seen ${seen}`;
}
