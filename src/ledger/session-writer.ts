import { us } from '../base/quantity.ts';
import type { Cancel, Clock } from '../base/clock.ts';
import type { Observation } from './observation.ts';
import { headLine, observationLine, type SessionHead } from './session.ts';

/** Where a recording goes: a file, a browser's data base. */
export type SessionSink = {
  /** Adds lines, with their line ends, behind those before; when it is over they outlive a crash of the program. */
  append(text: string): Promise<void>;
};

/** What is lost at most by a crash; half of the second that is promised, since writing takes time too. */
const longestWait = us(500_000);
/** Characters that are not kept back longer. */
const mostWaiting = 256_000;

/**
 * Journals a session as it happens: each observation is with the sink half a second later at the latest. A sink that fails
 * is tried no more; the failure is told once and at the end.
 */
export class SessionWriter {
  readonly #sink: SessionSink;
  readonly #clock: Clock;
  readonly #onFailure: (error: unknown) => void;
  #waiting: string[] = [];
  #length = 0;
  #timer: Cancel | undefined;
  #work: Promise<void> = Promise.resolve();
  #failed = false;
  #count = 0;

  constructor(head: SessionHead, sink: SessionSink, clock: Clock, onFailure: (error: unknown) => void) {
    this.#sink = sink;
    this.#clock = clock;
    this.#onFailure = onFailure;
    this.#put(headLine(head));
    this.flush();
  }

  /** Observations taken so far. */
  get count(): number {
    return this.#count;
  }

  take(observation: Observation): void {
    this.#count += 1;
    this.#put(observationLine(observation));
  }

  /** Hands on what waits. */
  flush(): void {
    this.#timer?.();
    this.#timer = undefined;
    if (this.#waiting.length === 0) return;
    const text = `${this.#waiting.join('\n')}\n`;
    this.#waiting = [];
    this.#length = 0;
    this.#work = this.#append(this.#work, text);
  }

  /** Hands on what waits and ends; gives whether all of it was taken. */
  async end(): Promise<boolean> {
    this.flush();
    await this.#work;
    return !this.#failed;
  }

  #put(line: string): void {
    if (this.#failed) return;
    this.#waiting.push(line);
    this.#length += line.length;
    if (this.#length > mostWaiting) this.flush();
    else
      this.#timer ??= this.#clock.schedule(us(this.#clock.now() + longestWait), () => {
        this.#timer = undefined;
        this.flush();
      });
  }

  async #append(before: Promise<void>, text: string): Promise<void> {
    await before;
    if (this.#failed) return;
    try {
      await this.#sink.append(text);
    } catch (error) {
      this.#failed = true;
      this.#onFailure(error);
    }
  }
}
