import type { Difference } from '../../ledger/compare.ts';
import type { Entry } from '../../ledger/entry.ts';
import type { LedgerReport } from '../../ledger/report.ts';

/** What the page wants of the ledger; each is answered once. */
export type LedgerWant =
  /** The lines of a stretch of time, as far as they can be drawn, with the statistics of the whole session. */
  | {
      readonly kind: 'look';
      /** Its end, microseconds of the session; `undefined` for now. */
      readonly to: number | undefined;
      /** Its length, microseconds. */
      readonly span: number;
      /** Lines of one value at most. */
      readonly most: number;
      /** Index of the only value that is wanted. */
      readonly value: number | undefined;
      readonly marksOnly: boolean;
    }
  | { readonly kind: 'recordings' }
  | { readonly kind: 'delete'; readonly id: number }
  | { readonly kind: 'export'; readonly id: number; readonly format: ExportFormat }
  | { readonly kind: 'compare'; readonly first: number; readonly second: number }
  /** Keeps a recording that a file holds. */
  | { readonly kind: 'import'; readonly name: string; readonly text: string }
  /** Plays a recording in place of the board. */
  | { readonly kind: 'replay'; readonly id: number; readonly speed: number }
  /** 0 pauses. */
  | { readonly kind: 'replay-speed'; readonly speed: number };

export type ExportFormat = 'csv' | 'parquet' | 'jsonl' | 'pcapng' | 'recording';

export type LedgerAnswer =
  | { readonly kind: 'seen'; readonly seen: Seen }
  | { readonly kind: 'recordings'; readonly recordings: readonly Recording[] }
  | { readonly kind: 'exported'; readonly content: Uint8Array<ArrayBuffer> }
  | { readonly kind: 'compared'; readonly differences: readonly Difference[] }
  | { readonly kind: 'done' }
  /** A sentence that says why not. */
  | { readonly kind: 'refused'; readonly why: string };

export type Seen = {
  /** Microseconds of the session. */
  readonly now: number;
  readonly from: number;
  readonly to: number;
  /** Ascending. */
  readonly entries: readonly Entry[];
  /** Not all of them: there are more than can be drawn. */
  readonly thinned: boolean;
  readonly report: LedgerReport;
  /** The recording that is being written or played. */
  readonly recording: number | undefined;
  /** Why the session is not recorded. */
  readonly notRecorded: string | undefined;
  readonly replay: ReplayState | undefined;
};

export type ReplayState = {
  readonly speed: number;
  readonly isOver: boolean;
  /** Microseconds. */
  readonly length: number;
};

/** A recording in this browser. */
export type Recording = {
  readonly id: number;
  /** The contract's board and file. */
  readonly name: string;
  /** ISO 8601. */
  readonly began: string;
  /** Microseconds. */
  readonly length: number;
  readonly observations: number;
  /** Characters. */
  readonly size: number;
  /** Still being written. */
  readonly isOpen: boolean;
};
