import { Gate, type Clock } from '../../base/clock.ts';
import type { Microseconds } from '../../base/quantity.ts';
import type { HciEvent } from '../events/codec.ts';
import type { HostConnection } from './connection.ts';

/** What a host hears of its controller. */
export type News =
  | { readonly kind: 'up' }
  | { readonly kind: 'down'; readonly about: string }
  | { readonly kind: 'connected'; readonly connection: HostConnection }
  | { readonly kind: 'event'; readonly event: HciEvent };

/** Something that is waited for. */
export type Waited<T> = {
  /** Gives the answer from elsewhere; only the first answer counts. */
  settle(answer: T): void;
  /** Waits for the answer, at most `limit`; may be called again. */
  within(limit: Microseconds): Promise<T | undefined>;
};

/** Tells news to all who wait for some. */
export class NewsDesk {
  readonly #clock: Clock;
  readonly #waiting = new Set<(news: News) => boolean>();

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** Tells whether anybody had waited for it. */
  tell(news: News): boolean {
    return [...this.#waiting].filter((waiting) => waiting(news)).length > 0;
  }

  /** Waits for news, from now on: `take` gives the answer when it is there. */
  wait<T>(take: (news: News) => T | undefined): Waited<T> {
    const gate = new Gate();
    let answer: T | undefined;
    const settle = (given: T): void => {
      answer ??= given;
      this.#waiting.delete(waiting);
      gate.open();
    };
    const waiting = (news: News): boolean => {
      const given = take(news);
      if (given !== undefined) settle(given);
      return given !== undefined;
    };
    this.#waiting.add(waiting);
    return {
      settle,
      within: async (limit) => {
        if (answer === undefined) this.#waiting.add(waiting);
        await this.#clock.waitFor(gate, limit);
        this.#waiting.delete(waiting);
        return answer;
      },
    };
  }
}
