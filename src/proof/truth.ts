import { equalBytes, toHex, type Bytes } from '../base/bytes.ts';
import { Gate, type Clock } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { ConsolePort } from '../att/link.ts';
import { parseConsoleLine, type ConsoleLine } from '../board/console.ts';
import type { Cause } from '../board/model.ts';

/** One change of truth, as the console told it. */
export type Told = {
  /** When the line came, on the link's clock. */
  readonly at: Microseconds;
  readonly id: string;
  readonly value: Bytes;
  readonly cause: Cause;
  /** Its number among all that was told. */
  readonly mark: Mark;
};

/** A place in what was told; later ones are larger. */
export type Mark = number;

/** A board answers its console at once, but a slow serial line carries 512 octets in hex for about a second. */
const consolePatience = us(3_000_000);

/** The board's truth by its console: asks for values, sets them, and keeps every change it is told. */
export class Truth {
  readonly #port: ConsolePort;
  readonly #clock: Clock;
  /** By id, in the order told. */
  readonly #told = new Map<string, Told[]>();
  #next: Mark = 0;
  readonly #stop: () => void;
  readonly #onTold: ((told: Told) => void) | undefined;
  #pending: { readonly command: string; readonly lines: ConsoleLine[]; readonly gate: Gate } | undefined;

  /** @param onTold called for each change of truth as it is told */
  constructor(port: ConsolePort, clock: Clock, onTold?: (told: Told) => void) {
    this.#port = port;
    this.#clock = clock;
    this.#onTold = onTold;
    this.#stop = port.onLine((line) => {
      this.#take(line);
    });
  }

  close(): void {
    this.#stop();
  }

  mark(): Mark {
    return this.#next;
  }

  /** Changes of one value since `mark`. */
  changes(id: string, since: Mark): readonly Told[] {
    const told = this.#told.get(id) ?? [];
    let first = told.length;
    while (first > 0 && (told[first - 1]?.mark ?? 0) >= since) first -= 1;
    return told.slice(first);
  }

  /** The last change of one value before `mark`; `undefined` when none was told. */
  before(id: string, mark: Mark): Told | undefined {
    const told = this.#told.get(id) ?? [];
    return told[told.length - this.changes(id, mark).length - 1];
  }

  /** Drops what was told before `mark`, but for the last of each value: a soak would fill the memory. */
  forget(mark: Mark): void {
    for (const id of this.#told.keys()) {
      const last = this.before(id, mark);
      this.#told.set(id, [...(last === undefined ? [] : [last]), ...this.changes(id, mark)]);
    }
  }

  /** The value the board holds now; `undefined` when the console gives no answer. */
  async get(id: string): Promise<Bytes | undefined> {
    const lines = await this.#command('get', `get ${id}`);
    const line = lines?.find((candidate) => candidate.kind === 'value' && candidate.id === id);
    return line?.kind === 'value' ? line.value : undefined;
  }

  /** Makes the board hold `value`; tells whether it did. */
  async set(id: string, value: Bytes): Promise<boolean> {
    const lines = await this.#command('set', `set ${id} =${toHex(value)}`);
    return lines?.some((line) => line.kind === 'done') ?? false;
  }

  /** True when `value` was the truth at some time since `mark`; `before` is the truth at the mark. */
  held(id: string, value: Bytes, since: Mark, before: Bytes | undefined): boolean {
    if (before !== undefined && equalBytes(before, value)) return true;
    return this.changes(id, since).some((told) => equalBytes(told.value, value));
  }

  /** Milliseconds since the board was powered up; `undefined` when the console gives no answer. */
  async uptime(): Promise<number | undefined> {
    const lines = await this.#command('time', 'time');
    const line = lines?.find((candidate) => candidate.kind === 'time');
    return line?.kind === 'time' ? line.ms : undefined;
  }

  async #command(word: string, line: string): Promise<readonly ConsoleLine[] | undefined> {
    const pending = { command: word, lines: [], gate: new Gate() };
    this.#pending = pending;
    this.#port.send(line);
    const answered = await this.#clock.waitFor(pending.gate, consolePatience);
    this.#pending = undefined;
    return answered ? pending.lines : undefined;
  }

  #take(text: string): void {
    const line = parseConsoleLine(text);
    if (line === undefined) return;
    if (line.kind === 'tell') {
      this.#keep({ at: this.#clock.now(), id: line.id, value: line.value, cause: line.cause, mark: this.#next++ });
      return;
    }
    const pending = this.#pending;
    if (pending === undefined || line.kind === 'note') return;
    pending.lines.push(line);
    if ((line.kind === 'done' || line.kind === 'error') && line.command === pending.command) pending.gate.open();
  }

  #keep(told: Told): void {
    const list = this.#told.get(told.id);
    if (list === undefined) this.#told.set(told.id, [told]);
    else list.push(told);
    this.#onTold?.(told);
  }
}
