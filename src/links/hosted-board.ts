import type { Clock } from '../base/clock.ts';
import type { ConsolePort } from '../att/link.ts';
import type { Rig } from '../board/model.ts';
import type { H4Port } from '../hci/h4-port.ts';
import type { Table } from '../table/model.ts';

/** A board with its own host: octets to a controller on one side, its console on the other. */
export type HostedBoard = {
  /** For people, as a link's name begins: `virtual board`, `engine in wasm`. */
  readonly name: string;
  readonly console: ConsolePort | undefined;
  /** Joins the board's host to its controller and powers the board up. Called once, after the console is listened to. */
  start(controller: H4Port): void;
  /** Powers it down and frees what it holds. */
  stop(): void | Promise<void>;
};

export type HostedBoardOptions = {
  /** What the board lives on: it schedules its own wakes here. */
  readonly clock: Clock;
  /** Default: a world that stands still. A board that is a program of its own has none. */
  readonly rig?: Rig<unknown> | undefined;
  /** A whole number, 0..2^32-1; default 1. */
  readonly seed?: number | undefined;
};

/** A board, or in one sentence with a remedy why there is none here: no compiler, no such device. */
export type MadeBoard =
  | { readonly ok: true; readonly board: HostedBoard }
  | { readonly ok: false; readonly why: string; readonly remedy: string };

/** Makes a board that answers for `table`. */
export type MakeBoard = (table: Table, options: HostedBoardOptions) => Promise<MadeBoard>;
