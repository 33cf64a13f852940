import { us, type Microseconds } from '../base/quantity.ts';
import { parseConsoleLine, type ConsoleLine, type ConsoleNote } from '../board/console.ts';
import type { Table } from '../table/model.ts';
import { BoardClock, type Alignment } from './board-clock.ts';
import type { Entry, LinkEntry } from './entry.ts';
import type { Observation } from './observation.ts';
import { ValueLedger } from './value-ledger.ts';

export type LedgerOptions = {
  /** Called for each line of the ledger, as it is judged. */
  readonly onEntry?: (entry: Entry) => void;
  /**
   * How long a value may be on its way, microseconds. Default: two connection intervals with the contract's peripheral
   * latency, and 10 ms.
   */
  readonly transit?: number;
};

/** What the console held beside what it told. */
export type ConsoleTroubles = {
  /** Lines that are none of the protocol, garbled stamps among them. */
  readonly noise: number;
  /** Lines that the board said it could not print. */
  readonly lost: number;
  readonly resets: number;
};

/** Longest time that a judgement waits for the console to catch up. */
const longestLag = 5_000_000;
/** Shortest: what a serial driver keeps back, and a board that says only afterwards that it could not print in time. */
const shortestLag = 250_000;
/** A `time` that is not answered by then is not waited for. */
const answerTime = 3_000_000;

type Held = Exclude<Observation, { kind: 'printed' | 'typed' | 'packet' }>;

/**
 * Truth and air side by side. Observations go in as they happen; lines of the ledger come out a moment later, when the
 * console has had time to tell what it must. Memory is bounded by what can still matter, whatever the length of the
 * session: what was judged is handed on and forgotten.
 */
export class Ledger {
  /** In the order of the table. */
  readonly values: readonly ValueLedger[];
  readonly #table: Table;
  readonly #onEntry: (entry: Entry) => void;
  readonly #clock = new BoardClock();
  readonly #byId: ReadonlyMap<string, ValueLedger>;
  /** What crossed and waits for the console. */
  #held: Held[] = [];
  #heldFrom = 0;
  #asked: Microseconds[] = [];
  /** By connection of ours: octets, as far as known. */
  readonly #mtus = new Map<number, number | undefined>();
  /** By client of the board's: what it is subscribed to. */
  readonly #clients = new Map<number, Set<string>>();
  #lag = shortestLag;
  #now = us(0);
  #advanced = -Infinity;
  #noise = 0;
  #lostLines = 0;

  constructor(table: Table, options: LedgerOptions = {}) {
    const { interval, latency } = table.radio.connection;
    const transit = options.transit ?? 2 * interval.max * (latency + 1) + 10_000;
    const patience = Math.max(1_000_000, 4 * transit);
    const onEntry = options.onEntry ?? (() => undefined);
    this.#table = table;
    this.#onEntry = onEntry;
    this.values = table.values.map((value) => new ValueLedger(value, this.#clock, { transit, patience, onEntry }));
    this.#byId = new Map(this.values.map((value) => [value.definition.id, value]));
  }

  get table(): Table {
    return this.#table;
  }

  /** How the board's clock and the host's go together; `undefined` before the console has told a time. */
  get alignment(): Alignment | undefined {
    return this.#clock.alignment;
  }

  get troubles(): ConsoleTroubles {
    return { noise: this.#noise, lost: this.#lostLines, resets: this.#clock.resets };
  }

  /** Things that are remembered now, to see that memory is bounded. */
  get remembered(): number {
    return this.values.reduce((sum, { history }) => sum + history.length, this.#held.length);
  }

  /** The newest time that is known. */
  get now(): Microseconds {
    return this.#now;
  }

  take(observation: Observation): void {
    this.#now = us(Math.max(this.#now, observation.at));
    switch (observation.kind) {
      case 'printed':
        this.#printed(observation.line, observation.at);
        break;
      case 'typed':
        this.#typed(observation.line, observation.at);
        break;
      case 'packet':
        break;
      default:
        this.#held.push(observation);
    }
    this.#work(this.#now - this.#lag);
  }

  /** Time passed in which nothing was seen. */
  advance(now: Microseconds): void {
    this.#now = us(Math.max(this.#now, now));
    this.#work(this.#now - this.#lag);
  }

  /** The session is over: what waits is judged by what is known. */
  finish(): void {
    this.#work(this.#now);
  }

  #work(until: number): void {
    for (
      let held = this.#held[this.#heldFrom];
      held !== undefined && held.at <= until;
      held = this.#held[this.#heldFrom]
    ) {
      this.#heldFrom += 1;
      this.#judge(held);
    }
    if (this.#heldFrom > 256 && 2 * this.#heldFrom > this.#held.length) {
      this.#held = this.#held.slice(this.#heldFrom);
      this.#heldFrom = 0;
    }
    // Nothing hangs on the very moment.
    if (until - this.#advanced < 20_000) return;
    this.#advanced = until;
    for (const value of this.values) value.advance(until);
  }

  #judge(held: Held): void {
    switch (held.kind) {
      case 'connected':
        if (!this.#mtus.has(held.connection)) this.#tellLink('connected', held.at);
        this.#mtus.set(held.connection, held.mtu);
        this.#countOthers();
        return;
      case 'disconnected':
        this.#mtus.delete(held.connection);
        this.#tellLink('disconnected', held.at);
        this.#countOthers();
        for (const value of this.values) value.unsubscribed(held.connection, held.at);
        return;
      case 'subscribed': {
        const { connection, asked, at, mode, id } = held;
        this.#byId.get(id)?.subscribed(connection, asked, at, mode, this.#othersSubscribed(id));
        return;
      }
      case 'refused':
        this.#byId.get(held.id)?.refused(held);
        return;
      case 'read':
      case 'written':
      case 'notified':
      case 'indicated': {
        const mtu = this.#mtus.get(held.connection);
        // Opcode and handle (Core Vol 3 Part F 3.4.7.1).
        this.#byId.get(held.id)?.crossed(held, mtu === undefined ? undefined : mtu - 3);
      }
    }
  }

  #typed(line: string, at: Microseconds): void {
    const words = line.trim().split(/ +/);
    if (words[0] === 'time' && words.length === 1) this.#asked.push(at);
    // From here on nobody tells what the truth is; what comes after `tell on` begins anew.
    if (words[0] === 'tell') for (const value of this.values) value.missedTruth(at);
  }

  #printed(text: string, at: Microseconds): void {
    const line = parseConsoleLine(text);
    if (line === undefined) {
      this.#garbled(text, at);
      return;
    }
    if (line.kind === 'note' && line.event.kind === 'start') this.#reset(at);
    const ms = stampOf(line);
    if (ms === undefined) return;
    const taken = this.#clock.take(ms, at);
    if (taken === undefined) {
      this.#garbled(text, at);
      return;
    }
    if (taken.reset) {
      this.#begin();
      this.#tellLink('reset', at);
    }
    this.#follow(taken.stamp, at);
    if (line.kind === 'time') this.#answered(taken.stamp, at);
    if (line.kind === 'note') this.#noted(line.event, at);
    if (line.kind === 'tell') this.#byId.get(line.id)?.told(taken.stamp, line.value, line.cause, false);
    if (line.kind === 'value') this.#byId.get(line.id)?.told(taken.stamp, line.value, 'start', true);
  }

  /** A line that is none, or not to be believed. It may have been a change of truth. */
  #garbled(text: string, at: Microseconds): void {
    this.#noise += 1;
    if (mayBeTold.test(text)) for (const value of this.values) value.missedTruth(at);
  }

  /** How far the console is behind says how long to wait for it. */
  #follow(stamp: number, at: Microseconds): void {
    const behind = 2 * (at - this.#clock.hostTime(stamp));
    const wished = Math.min(longestLag, Math.max(shortestLag, behind));
    this.#lag = wished > this.#lag ? wished : this.#lag + (wished - this.#lag) / 256;
  }

  #answered(stamp: number, at: Microseconds): void {
    while (this.#asked[0] !== undefined && this.#asked[0] < at - answerTime) this.#asked.shift();
    const asked = this.#asked.shift();
    if (asked !== undefined) this.#clock.exchange(asked, stamp, at);
  }

  #noted(note: ConsoleNote, at: Microseconds): void {
    switch (note.kind) {
      case 'lost':
        this.#lostLines += note.count;
        for (const value of this.values) value.missedTruth(at);
        break;
      case 'connected':
        this.#clients.set(note.client, new Set());
        break;
      case 'disconnected':
        this.#clients.delete(note.client);
        break;
      case 'subscribed':
        if (note.mode === 'off') this.#clients.get(note.client)?.delete(note.id);
        else this.#clients.get(note.client)?.add(note.id);
        return;
      default:
        return;
    }
    this.#countOthers();
  }

  #tellLink(event: LinkEntry['event'], at: Microseconds): void {
    this.#onEntry({ kind: 'link', value: -1, at, event, raw: undefined });
  }

  #countOthers(): void {
    for (const value of this.values) value.othersMayWrite = this.#clients.size > this.#mtus.size;
  }

  #othersSubscribed(id: string): boolean {
    return [...this.#clients.values()].filter((ids) => ids.has(id)).length > 1;
  }

  /** The board says that it was powered up. What crossed before is judged by what was told before. */
  #reset(at: Microseconds): void {
    this.#work(at);
    this.#begin();
    // The first power-up that is seen is none.
    if (this.#clock.alignment !== undefined) this.#tellLink('reset', at);
    this.#clock.reset();
  }

  #begin(): void {
    this.#clients.clear();
    for (const value of this.values) value.reset();
  }
}

/** What is left of a `tell` line that was garbled on the way. */
const mayBeTold = /tell|\b(start|rig|air|console|failsafe)$/;

function stampOf(line: ConsoleLine): number | undefined {
  switch (line.kind) {
    case 'tell':
    case 'note':
    case 'value':
    case 'time':
      return line.ms;
    default:
      return undefined;
  }
}
