import { us } from '../base/quantity.ts';
import type { Cancel, Clock } from '../base/clock.ts';
import type { Observation } from './observation.ts';

/**
 * Plays a recording again, in its own time or faster or slower: the source of observations where there is no board. Pausing
 * and changing the speed count from the moment they are asked for.
 */
export class Replay {
  readonly #observations: readonly Observation[];
  readonly #clock: Clock;
  readonly #onObserved: (observation: Observation) => void;
  readonly #onEnd: () => void;
  #next = 0;
  #speed = 1;
  /** Session time at the clock's time, while it runs. */
  #anchor: { readonly session: number; readonly clock: number } | undefined;
  #paused = 0;
  #timer: Cancel | undefined;

  constructor(
    observations: readonly Observation[],
    clock: Clock,
    onObserved: (observation: Observation) => void,
    onEnd: () => void = () => undefined,
  ) {
    this.#observations = observations;
    this.#clock = clock;
    this.#onObserved = onObserved;
    this.#onEnd = onEnd;
    this.#paused = observations[0]?.at ?? 0;
  }

  get isRunning(): boolean {
    return this.#anchor !== undefined;
  }

  get isOver(): boolean {
    return this.#next >= this.#observations.length;
  }

  /** The session's time now, microseconds. */
  get now(): number {
    if (this.#anchor === undefined) return this.#paused;
    return this.#anchor.session + (this.#clock.now() - this.#anchor.clock) * this.#speed;
  }

  /** @param speed how often faster than it was; `Infinity` plays all at once */
  start(speed: number): void {
    const session = this.now;
    this.#timer?.();
    this.#speed = speed;
    this.#anchor = { session, clock: this.#clock.now() };
    this.#play();
  }

  pause(): void {
    this.#paused = this.now;
    this.#anchor = undefined;
    this.#timer?.();
    this.#timer = undefined;
  }

  #play(): void {
    this.#timer = undefined;
    if (this.#anchor === undefined) return;
    const until = this.#speed === Infinity ? Infinity : this.now;
    for (
      let next = this.#observations[this.#next];
      next !== undefined && next.at <= until;
      next = this.#observations[this.#next]
    ) {
      this.#next += 1;
      this.#onObserved(next);
    }
    const next = this.#observations[this.#next];
    if (next === undefined) {
      this.#paused = this.#observations.at(-1)?.at ?? 0;
      this.#anchor = undefined;
      this.#onEnd();
      return;
    }
    const wait = Math.max(1, Math.ceil((next.at - until) / this.#speed));
    this.#timer = this.#clock.schedule(us(this.#clock.now() + wait), () => {
      this.#play();
    });
  }
}
