import type { Cancel, Clock, Gate } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';

type Entry = { readonly at: Microseconds; readonly call: () => void };

/** Timers count 31 bits of milliseconds; a longer wait is made in parts. */
const longestTimer = 0x7fff_ffff;
/** Milliseconds for which a clock that catches up keeps the process from other work. */
const longestRound = 8;

export type RealClockOptions = {
  /**
   * Time between two readings beyond which the machine is taken to have slept; only so much of it then counts. A board
   * that wakes must not live through a night at once. Default: all time counts.
   */
  readonly longestGap?: Microseconds;
  /**
   * While a call runs, `now` is the time it was due, and what it schedules within what is past runs in the same round: a
   * simulated world whose timers come late (browsers let them wait 4 ms) then loses nothing and lives as evenly as on
   * virtual time. Default false: a call that runs late sees that it is late.
   */
  readonly catchUp?: boolean;
};

/**
 * A clock on the machine's own time. Calls run in the order of their times, and in the order scheduled at one time; none
 * runs early, some run late. While something is scheduled the process stays alive.
 */
export class RealClock implements Clock {
  #origin = performance.now();
  #last = this.#origin;
  readonly #longestGap: number;
  readonly #catchUp: boolean;
  /** What a clock that catches up says while a call runs. */
  #duringCall: Microseconds | undefined;
  /** The latest time that was told: time never goes back. */
  #told = us(0);
  /** Earliest first. */
  readonly #entries: Entry[] = [];
  #timer: ReturnType<typeof setTimeout> | undefined;
  #stopped = false;

  constructor(options: RealClockOptions = {}) {
    this.#longestGap = (options.longestGap ?? Number.POSITIVE_INFINITY) / 1000;
    this.#catchUp = options.catchUp ?? false;
  }

  now(): Microseconds {
    this.#told = this.#duringCall ?? this.#read();
    return this.#told;
  }

  schedule(at: Microseconds, call: () => void): Cancel {
    if (this.#stopped) return () => undefined;
    const entry: Entry = { at, call };
    const behind = this.#entries.findIndex((other) => other.at > at);
    this.#entries.splice(behind < 0 ? this.#entries.length : behind, 0, entry);
    if (this.#entries[0] === entry) this.#arm();
    return () => {
      const index = this.#entries.indexOf(entry);
      if (index < 0) return;
      this.#entries.splice(index, 1);
      if (index === 0) this.#arm();
    };
  }

  sleep(duration: Microseconds): Promise<void> {
    return new Promise((resolve) => {
      this.schedule(us(this.now() + duration), resolve);
    });
  }

  waitFor(gate: Gate, limit: Microseconds): Promise<boolean> {
    return new Promise((resolve) => {
      const cancel = this.schedule(us(this.now() + limit), () => {
        resolve(gate.isOpen);
      });
      gate.whenOpen(() => {
        cancel();
        resolve(true);
      });
    });
  }

  /** Forgets all that is scheduled, and runs nothing more: the process may end. */
  stop(): void {
    this.#stopped = true;
    this.#entries.length = 0;
    this.#arm();
  }

  #read(): Microseconds {
    const now = performance.now();
    this.#origin += Math.max(0, now - this.#last - this.#longestGap);
    this.#last = now;
    return us(Math.floor((now - this.#origin) * 1000));
  }

  #arm(): void {
    // At the end of a round it is armed for whatever is next.
    if (this.#duringCall !== undefined) return;
    if (this.#timer !== undefined) clearTimeout(this.#timer);
    this.#timer = undefined;
    const first = this.#entries[0];
    if (first === undefined) return;
    const wait = Math.max(0, Math.ceil((first.at - this.#read()) / 1000));
    this.#timer = setTimeout(
      () => {
        this.#run();
      },
      Math.min(wait, longestTimer),
    );
  }

  #run(): void {
    // What a call schedules for now runs in the next round, so that the process can do other work in between.
    const now = this.#read();
    const stopAt = performance.now() + longestRound;
    try {
      for (let first = this.#entries[0]; first !== undefined && first.at <= now; first = this.#entries[0]) {
        if (this.#catchUp) this.#duringCall = us(Math.max(first.at, this.#told));
        this.#entries.shift();
        first.call();
        if (this.#catchUp && performance.now() >= stopAt) break;
      }
    } finally {
      this.#duringCall = undefined;
      this.#arm();
    }
  }
}
