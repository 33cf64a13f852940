import type { Finding } from '../../base/finding.ts';
import type { CrossedPdu, Failure } from '../../att/link.ts';
import type { CaseResult, Counts, Family } from '../../proof/verdict.ts';
import type { Compiled } from '../../table/compiled.ts';
import type { BudgetPart, BudgetQuestion, BudgetResult } from '../../budget/budget.ts';
import type { Table } from '../../table/model.ts';
import type { BoardPlan } from './board-plan.ts';
import type { LedgerAnswer, LedgerWant } from './ledger-protocol.ts';

/**
 * What page and worker say to each other. The worker checks contracts, runs the virtual board on real time with a central
 * beside it, and runs proofs on a board of its own on virtual time. The page draws. Everything is plain data.
 */
export type ToWorker =
  /** Check this text; only the newest is worth answering. */
  | { readonly kind: 'check'; readonly version: number; readonly text: string }
  /** Start a board for this text in place of the one that runs; `faults` are names of planted faults, of a model only. */
  | {
      readonly kind: 'start-board';
      readonly text: string;
      readonly seed: number;
      readonly faults: readonly string[];
      readonly made: BoardWord;
    }
  /** `mtu`: octets to ask for at once, as centrals do; 23 asks for none. */
  | { readonly kind: 'connect'; readonly mtu: number }
  | { readonly kind: 'drop'; readonly how: DropWord }
  | { readonly kind: 'exchange-mtu'; readonly ask: number; readonly mtu: number }
  /** Plays pairing's part: sets the security of the link as it would be after it. */
  | { readonly kind: 'secure'; readonly ask: number; readonly on: boolean }
  | { readonly kind: 'read'; readonly ask: number; readonly index: number }
  | {
      readonly kind: 'write';
      readonly ask: number;
      readonly index: number;
      readonly value: Uint8Array;
      readonly response: boolean;
    }
  | { readonly kind: 'subscribe'; readonly ask: number; readonly index: number; readonly mode: SubscribeMode }
  /** A line typed on the board's console. */
  | { readonly kind: 'type'; readonly line: string }
  /** Prove a board of this text; `only` holds families or patterns of case ids, empty for all. */
  | {
      readonly kind: 'prove';
      readonly run: number;
      readonly text: string;
      readonly only: readonly string[];
      readonly faults: readonly string[];
    }
  | { readonly kind: 'stop-proof' }
  /** The budget of a table, part by part; only the newest is worth answering. `first`: the part that is looked at. */
  | {
      readonly kind: 'budget';
      readonly number: number;
      readonly table: Table;
      readonly question: BudgetQuestion;
      readonly first: BudgetPart | undefined;
    }
  /** Lines that the console of a real board printed. */
  | { readonly kind: 'console-lines'; readonly lines: readonly string[] }
  /** Something about the ledger of the session, or its recordings. */
  | { readonly kind: 'ledger'; readonly ask: number; readonly want: LedgerWant }
  /** The report of the last proof as a file's text. */
  | { readonly kind: 'report'; readonly ask: number; readonly form: ReportForm; readonly name: string };

/** `terminate`: leaves with a goodbye. `lose`: the radio link breaks, and the board finds out by its timeout. */
export type DropWord = 'terminate' | 'lose';
export type SubscribeMode = 'notify' | 'indicate' | 'off';
export type ReportForm = 'html' | 'junit' | 'json';

export type FromWorker =
  | {
      readonly kind: 'checked';
      readonly version: number;
      /** What the text says; `undefined` when a finding is an error. */
      readonly compiled: Compiled | undefined;
      readonly findings: readonly Finding[];
    }
  | {
      readonly kind: 'board-started';
      /** Of the text; a planted fault may make the board work from another table. */
      readonly plan: BoardPlan;
      readonly text: string;
      readonly faults: readonly string[];
      /** Which world moves its values. */
      readonly rig: RigWord;
      readonly made: BoardWord;
      /** The link's security can be set as pairing would. */
      readonly securable: boolean;
      /** It is a recording that is played again. */
      readonly replayed?: true;
    }
  | { readonly kind: 'board-refused'; readonly findings: readonly Finding[] }
  /** A sound contract that this kind of board cannot serve; the board before it runs on. */
  | { readonly kind: 'board-unmade'; readonly why: string; readonly remedy: string }
  | { readonly kind: 'link'; readonly state: LinkState }
  /** What happened since the last batch; some twenty a second at most. */
  | { readonly kind: 'happened'; readonly batch: Batch }
  /** The end of an act that the page asked for. */
  | { readonly kind: 'answer'; readonly ask: number; readonly failure: Failure | undefined }
  | { readonly kind: 'reported'; readonly ask: number; readonly text: string | undefined }
  | { readonly kind: 'proof'; readonly run: number; readonly news: ProofNews }
  | { readonly kind: 'ledger'; readonly ask: number; readonly answer: LedgerAnswer }
  /** A line for the console of a real board. */
  | { readonly kind: 'console-send'; readonly line: string }
  /** A part of the budget that is asked for by this number; parts that did not change since the last are left out. */
  | { readonly kind: 'budget-part'; readonly number: number; readonly result: BudgetResult }
  | { readonly kind: 'budget-done'; readonly number: number }
  /** A mistake of ours in the worker; shown with the request to report it. */
  | { readonly kind: 'broken'; readonly message: string };

/**
 * What the board is made of. `model`: the virtual board, reached in memory. `radio`: the same behind a controller, across
 * the virtual radio. `engine`: the firmware in C, compiled to WebAssembly, in its place. `serial`:
 * a real board, by its console alone, which the window holds.
 */
export type BoardWord = 'model' | 'radio' | 'engine' | 'serial';

/** `wave-tank`: the demo's own world. `default`: what any contract without one gets. */
export type RigWord = 'wave-tank' | 'default';

export type LinkState =
  /** No board, or one that does not advertise. */
  | { readonly kind: 'silent' }
  | { readonly kind: 'advertising' }
  | { readonly kind: 'connecting' }
  | {
      readonly kind: 'connected';
      /** Octets. */
      readonly mtu: number;
      readonly encrypted: boolean;
      /** Whether the Database Hash that was read is the contract's: `unread` before that, or when it could not be. */
      readonly hash: 'unread' | 'same' | 'different';
    }
  /** Broken without a goodbye: the board notices at `noticedAt` of its clock. Then it is `advertising` again. */
  | { readonly kind: 'lost'; readonly since: number; readonly noticedAt: number };

export type Batch = {
  /** The board's own millisecond clock at the end of the batch. */
  readonly boardMs: number;
  /** Changes of truth, in order. */
  readonly truth: readonly TruthChange[];
  /** Values that crossed the air, in order. */
  readonly air: readonly AirValue[];
  /** CCCD bits (1 notify, 2 indicate) by value index; values that are not here are not subscribed. */
  readonly subscriptions: readonly (readonly [number, number])[];
  /** The newest packets, at most 60 a batch. */
  readonly pdus: readonly CrossedPdu[];
  /** How many crossed, also those left out of `pdus`, from the central and from the board. */
  readonly pduCounts: { readonly central: number; readonly board: number };
  /** The newest lines the board printed, at most 100 a batch. */
  readonly consoleLines: readonly string[];
  /** The rig's state, plain data, where the page can draw it (`RigWord` wave-tank: `WaveTank` of its rig). */
  readonly rig: unknown;
};

export type TruthChange = {
  readonly index: number;
  /** On the board's clock. */
  readonly ms: number;
  readonly raw: Uint8Array;
  readonly cause: 'start' | 'rig' | 'air' | 'console' | 'failsafe';
};

export type AirValue = {
  readonly index: number;
  /** On the board's clock, when the central had it (or, `written`, its confirmation). */
  readonly ms: number;
  readonly raw: Uint8Array;
  readonly how: 'read' | 'written' | 'notified' | 'indicated';
};

export type ProofNews =
  | { readonly kind: 'refused'; readonly findings: readonly Finding[] }
  | {
      readonly kind: 'planned';
      /** The contract's table, which the results are about. */
      readonly table: Table;
      readonly cases: readonly { readonly id: string; readonly family: Family; readonly about: string }[];
    }
  /** `done` of `total` cases are finished; this one just now. */
  | { readonly kind: 'case'; readonly done: number; readonly total: number; readonly result: CaseResult }
  | { readonly kind: 'ended'; readonly stopped: boolean; readonly counts: Counts };
