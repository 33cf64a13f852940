import { us, type Microseconds } from './quantity.ts';

/** A door that opens once: how one part tells another that something it waits for has happened. */
export class Gate {
  #open = false;
  readonly #waiting: (() => void)[] = [];

  get isOpen(): boolean {
    return this.#open;
  }

  open(): void {
    if (this.#open) return;
    this.#open = true;
    for (const call of this.#waiting.splice(0)) call();
  }

  /** Calls back once, at once if the gate is open already. */
  whenOpen(call: () => void): void {
    if (this.#open) call();
    else this.#waiting.push(call);
  }
}

/** Takes back something scheduled; harmless when it has run already. */
export type Cancel = () => void;

/**
 * The only source of time in the program. Real time lives in `links/`; everything else, and every test, runs on
 * {@link VirtualClock}.
 */
export type Clock = {
  /** Time since the clock was made. */
  now(): Microseconds;
  /** Runs `call` at `at`, or as soon as possible if that is past. Calls due at one instant run in the order scheduled. */
  schedule(at: Microseconds, call: () => void): Cancel;
  sleep(duration: Microseconds): Promise<void>;
  /** Waits for the gate, at most `limit`; tells whether it opened. */
  waitFor(gate: Gate, limit: Microseconds): Promise<boolean>;
};

type Scheduled = { readonly at: Microseconds; readonly order: number; call: (() => void) | undefined };

/**
 * Time that passes only while somebody waits: a wait runs all that is scheduled up to its end, then jumps there. Eight
 * hours take as long as what happens in them, and two runs are alike to the microsecond.
 */
export class VirtualClock implements Clock {
  #now: Microseconds = us(0);
  #order = 0;
  /** A binary heap, earliest first. */
  readonly #heap: Scheduled[] = [];

  now(): Microseconds {
    return this.#now;
  }

  schedule(at: Microseconds, call: () => void): Cancel {
    const entry: Scheduled = { at: us(Math.max(at, this.#now)), order: this.#order++, call };
    this.#push(entry);
    return () => {
      entry.call = undefined;
    };
  }

  sleep(duration: Microseconds): Promise<void> {
    this.advance(duration);
    return Promise.resolve();
  }

  waitFor(gate: Gate, limit: Microseconds): Promise<boolean> {
    const end = us(this.#now + limit);
    while (!gate.isOpen && this.#runNext(end));
    if (!gate.isOpen) this.#passTo(end);
    return Promise.resolve(gate.isOpen);
  }

  /** Lets `duration` pass and runs all that falls due in it, to its very end. */
  advance(duration: Microseconds): void {
    const end = us(this.#now + duration);
    while (this.#runNext(end));
    this.#passTo(end);
  }

  /** Something run on the way may have waited itself, past `end`: time never goes back. */
  #passTo(end: Microseconds): void {
    this.#now = us(Math.max(end, this.#now));
  }

  #runNext(end: Microseconds): boolean {
    const first = this.#heap[0];
    if (first === undefined || first.at > end) return false;
    this.#pop();
    if (first.call !== undefined) {
      this.#now = us(Math.max(first.at, this.#now));
      first.call();
    }
    return true;
  }

  #push(entry: Scheduled): void {
    const heap = this.#heap;
    let i = heap.push(entry) - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      const above = heap[parent];
      if (above === undefined || !before(entry, above)) break;
      heap[i] = above;
      i = parent;
    }
    heap[i] = entry;
  }

  #pop(): void {
    const heap = this.#heap;
    const last = heap.pop();
    if (last === undefined || heap.length === 0) return;
    let i = 0;
    for (;;) {
      let child = 2 * i + 1;
      const left = heap[child];
      if (left === undefined) break;
      const right = heap[child + 1];
      let smaller = left;
      if (right !== undefined && before(right, left)) {
        smaller = right;
        child += 1;
      }
      if (!before(smaller, last)) break;
      heap[i] = smaller;
      i = child;
    }
    heap[i] = last;
  }
}

function before(a: Scheduled, b: Scheduled): boolean {
  return a.at < b.at || (a.at === b.at && a.order < b.order);
}
