import type { DelayBar, DelaySummary } from './delays.ts';
import type { Ledger } from './ledger.ts';
import { markKinds, type MarkKind } from './mark.ts';
import type { ValueCounts } from './value-ledger.ts';

/** What a ledger comes to, as plain data. Times are microseconds. */
export type LedgerReport = {
  readonly values: readonly ValueReport[];
  /** All marks together. */
  readonly marks: number;
  readonly clock:
    | {
        readonly driftPpm: number;
        /** ± so much each time of the board is uncertain on the host's clock. */
        readonly uncertainty: number;
        /** Whether the board was asked for its time; without it lines are taken to come at once. */
        readonly bounded: boolean;
      }
    | undefined;
  readonly console: { readonly noise: number; readonly lost: number; readonly resets: number };
};

export type ValueReport = {
  readonly id: string;
  readonly label: string;
  readonly counts: ValueCounts;
  readonly delays: Readonly<Record<DelayKind, DelaySummary & { readonly bars: readonly DelayBar[] }>>;
};

/** `down`: from a change of truth to the central. `up`: from a write to the change. `read`: from asking to the answer. */
export type DelayKind = 'down' | 'up' | 'read';

export function reportLedger(ledger: Ledger): LedgerReport {
  const { alignment } = ledger;
  const values = ledger.values.map(({ definition, counts, delays }) => ({
    id: definition.id,
    label: definition.label,
    counts,
    delays: {
      down: { ...delays.down.summary(), bars: delays.down.bars() },
      up: { ...delays.up.summary(), bars: delays.up.bars() },
      read: { ...delays.read.summary(), bars: delays.read.bars() },
    },
  }));
  return {
    values,
    marks: values.reduce((sum, { counts }) => sum + markSum(counts), 0),
    clock:
      alignment === undefined
        ? undefined
        : { driftPpm: alignment.driftPpm, uncertainty: alignment.uncertainty, bounded: alignment.bounded },
    console: ledger.troubles,
  };
}

export function markSum({ marks }: ValueCounts): number {
  return markKinds.reduce((sum, kind) => sum + marks[kind], 0);
}

/** The marks that a value has, with their counts, the gravest first. */
export function marksOf({ marks }: ValueCounts): readonly (readonly [MarkKind, number])[] {
  return markKinds.flatMap((kind) => (marks[kind] > 0 ? [[kind, marks[kind]] as const] : []));
}
