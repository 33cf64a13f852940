import type { Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Cause } from '../board/model.ts';
import type { MarkKind } from './mark.ts';
import type { Way } from './observation.ts';

/** One line of the ledger. Times are the host's; `value` is the index of the value in the table. */
export type Entry = TruthEntry | AirEntry | MissingEntry | RefusedEntry | LinkEntry;

/** The truth changed. */
export type TruthEntry = {
  readonly kind: 'truth';
  readonly value: number;
  /** Counts the changes of this value; what an air entry refers to. */
  readonly version: number;
  /** By the board's clock on the host's. */
  readonly at: Microseconds;
  /** On the board's clock, milliseconds since power-up. */
  readonly ms: number;
  readonly raw: Bytes;
  readonly cause: Cause;
};

/** A value crossed the air. */
export type AirEntry = {
  readonly kind: 'air';
  readonly value: number;
  readonly at: Microseconds;
  /** When the central asked; `at` itself for what came of itself. */
  readonly asked: Microseconds;
  readonly connection: number;
  readonly way: Way;
  readonly raw: Bytes;
  /** The change of truth that it carried, or that it made; `undefined` where it can be told of none. */
  readonly version: number | undefined;
  /** From the change of truth to its arrival, or from the writing to the change, microseconds. */
  readonly delay: number | undefined;
  readonly mark: MarkKind | undefined;
  /** How late or how old beyond what is allowed, microseconds; 0 for other marks. */
  readonly by: number;
};

/** Something that did not cross, or crossed when it should not have: a mark without a crossing of its own. */
export type MissingEntry = {
  readonly kind: 'missing';
  readonly value: number;
  /** When it was due. */
  readonly at: Microseconds;
  readonly connection: number;
  readonly mark: MarkKind;
  readonly version: number | undefined;
  readonly raw: Bytes;
};

/** An access that the board refused, or that failed. */
export type RefusedEntry = {
  readonly kind: 'refused';
  readonly value: number;
  readonly at: Microseconds;
  readonly asked: Microseconds;
  readonly connection: number;
  readonly access: 'read' | 'write';
  readonly code: number | undefined;
  readonly raw: Bytes | undefined;
};

/** A connection began or ended, or the board was reset. It belongs to no value. */
export type LinkEntry = {
  readonly kind: 'link';
  readonly value: -1;
  readonly at: Microseconds;
  readonly event: 'connected' | 'disconnected' | 'reset';
  readonly raw: undefined;
};

/** The mark of an entry, if it has one. */
export function markOf(entry: Entry): MarkKind | undefined {
  return entry.kind === 'air' || entry.kind === 'missing' ? entry.mark : undefined;
}
