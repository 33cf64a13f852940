import type { Cancel, Clock } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Random } from '../../base/random.ts';
import type { Connection, Outcome } from '../../att/link.ts';

export type ReconnectOptions = {
  /** Before the first try after a loss; doubled with each further one. Default 0.5 s. */
  readonly first?: Microseconds;
  /** Longest time between two tries. Default 30 s. */
  readonly longest?: Microseconds;
  /** Spreads the tries of many pages in one room: each waits between half and the whole of its time. */
  readonly random: Random;
};

/** What keeping a connection has come to. */
export type ReconnectState =
  | { readonly kind: 'connected'; readonly connection: Connection }
  /** `attempt` from 1; `at`: when it is made. */
  | { readonly kind: 'waiting'; readonly attempt: number; readonly at: Microseconds }
  | { readonly kind: 'connecting'; readonly attempt: number }
  | { readonly kind: 'stopped' };

/**
 * Connects, and connects again whenever the link ends unasked, waiting longer after each failure, until it is stopped.
 * A board that was reset or carried out of the room is found again when it is back.
 */
export class KeptConnection {
  readonly #connect: () => Promise<Outcome<Connection>>;
  readonly #clock: Clock;
  readonly #options: ReconnectOptions;
  readonly #listener: (state: ReconnectState) => void;
  #state: ReconnectState = { kind: 'stopped' };
  #cancel: Cancel | undefined;
  /** Grows when it is stopped or started: an answer to an earlier try is then nobody's. */
  #era = 0;

  constructor(
    connect: () => Promise<Outcome<Connection>>,
    clock: Clock,
    options: ReconnectOptions,
    listener: (state: ReconnectState) => void,
  ) {
    this.#connect = connect;
    this.#clock = clock;
    this.#options = options;
    this.#listener = listener;
  }

  get state(): ReconnectState {
    return this.#state;
  }

  /** Makes the first try at once. Does nothing while it is running. */
  start(): void {
    if (this.#state.kind !== 'stopped') return;
    this.#era += 1;
    void this.#try(0);
  }

  /** Takes over a connection that stands already. */
  keep(connection: Connection): void {
    this.#era += 1;
    this.#cancel?.();
    this.#hold(connection);
  }

  /** Ends the connection, and all tries. */
  async stop(): Promise<void> {
    const { state } = this;
    this.#era += 1;
    this.#cancel?.();
    this.#set({ kind: 'stopped' });
    if (state.kind === 'connected') await state.connection.drop('terminate');
  }

  async #try(attempt: number): Promise<void> {
    const era = this.#era;
    this.#set({ kind: 'connecting', attempt });
    const outcome = await this.#connect();
    if (era !== this.#era) {
      if (outcome.ok) await outcome.value.drop('terminate');
      return;
    }
    if (outcome.ok) this.#hold(outcome.value);
    else this.#wait(attempt + 1);
  }

  #hold(connection: Connection): void {
    const era = this.#era;
    this.#set({ kind: 'connected', connection });
    connection.onClose(() => {
      if (era === this.#era) this.#wait(1);
    });
  }

  #wait(attempt: number): void {
    const { first = us(500_000), longest = us(30_000_000), random } = this.#options;
    const whole = Math.min(longest, first * 2 ** Math.min(attempt - 1, 30));
    const at = us(this.#clock.now() + Math.round(whole * (0.5 + random.unit() / 2)));
    this.#set({ kind: 'waiting', attempt, at });
    this.#cancel = this.#clock.schedule(at, () => void this.#try(attempt));
  }

  #set(state: ReconnectState): void {
    this.#state = state;
    this.#listener(state);
  }
}
