import { bug } from '../../base/bug.ts';
import type { Cancel, Clock } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Rig } from '../../board/model.ts';
import { worldOf, type WorldValues } from '../../board/rig-world.ts';
import { rigRandom } from '../../board/turn.ts';
import type { Table } from '../../table/model.ts';

export type RigRunnerOptions = {
  readonly clock: Clock;
  readonly table: Table;
  readonly rig: Rig<unknown>;
  readonly seed: number;
  readonly values: WorldValues;
  /** Called behind each step, when the board may have something to do. */
  stepped(): void;
  /** The rig failed and stands still from now on. */
  failed(message: string): void;
};

/** The world around a board that is not the virtual one: the same rig makes the same steps at the same times. */
export class RigRunner {
  readonly #options: RigRunnerOptions;
  readonly #startedAt: Microseconds;
  readonly #world: ReturnType<typeof worldOf>;
  #state: unknown;
  #steps = 0;
  #next: Cancel | undefined;

  /** Begins at once; the first step follows after the rig's period. */
  constructor(options: RigRunnerOptions) {
    const { clock, table, rig, seed } = options;
    bug(rig.every > 0, 'a rig needs time between its steps');
    this.#options = options;
    this.#startedAt = clock.now();
    this.#world = worldOf(table);
    this.#guard(() => {
      this.#state = rig.start(rigRandom(seed, 0));
      this.#schedule();
    });
  }

  stop(): void {
    this.#next?.();
    this.#next = undefined;
  }

  /** Step n is due n periods after the start, however late the one before came. */
  #schedule(): void {
    const { clock, rig } = this.#options;
    const due = us(this.#startedAt + (this.#steps + 1) * rig.every);
    this.#next = clock.schedule(due, () => {
      this.#step(due);
    });
  }

  #step(due: Microseconds): void {
    const { rig, seed, values } = this.#options;
    this.#steps += 1;
    this.#schedule();
    this.#guard(() => {
      const world = this.#world(values, () => rigRandom(seed, this.#steps));
      this.#state = rig.step(this.#state, world, us(due - this.#startedAt));
    });
    this.#options.stepped();
  }

  /** A rig is the user's own program: its mistake stops it, and must not take the board down. */
  #guard(run: () => void): void {
    try {
      run();
    } catch (error) {
      this.stop();
      this.#options.failed(error instanceof Error ? error.message : String(error));
    }
  }
}
