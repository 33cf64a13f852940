import { us } from '../../base/quantity.ts';
import type { Cancel, Clock } from '../../base/clock.ts';
import type { Observation } from '../../ledger/observation.ts';
import type { LedgerHost } from './ledger-host.ts';
import type { LedgerAnswer, LedgerWant } from './ledger-protocol.ts';
import type { Watched } from './watched.ts';

/** The code for the ledger and its recordings comes when the page has what it needs first, microseconds. */
const atLeisure = us(2_500_000);

/**
 * Watches a session from its first moment: what happens before the ledger's code is there waits for it. A recording is
 * thus whole, and nothing is fetched sooner than it must be.
 */
export class SessionWatch {
  readonly #watched: Watched;
  readonly #clock: Clock;
  readonly #began = new Date().toISOString();
  #waiting: Observation[] = [];
  #host: LedgerHost | undefined;
  #loading: Promise<LedgerHost> | undefined;
  #ended = false;
  readonly #cancel: Cancel;

  constructor(watched: Watched, clock: Clock) {
    this.#watched = watched;
    this.#clock = clock;
    this.#cancel = clock.schedule(us(clock.now() + atLeisure), () => {
      // Without the network it is tried again when the ledger is looked at.
      this.#load().catch(() => undefined);
    });
  }

  take(observation: Observation): void {
    if (this.#ended) return;
    if (this.#host === undefined) this.#waiting.push(observation);
    else this.#host.take(observation);
  }

  async answer(want: LedgerWant): Promise<LedgerAnswer> {
    return (await this.#load()).answer(want);
  }

  /** The session is over: its recording is ended. */
  end(): void {
    this.#ended = true;
    this.#cancel();
    if (this.#host !== undefined) this.#host.end();
    else if (this.#waiting.length > 0) {
      // A board that was restarted at once: what it did is recorded nevertheless.
      void this.#load()
        .then((host) => {
          host.end();
        })
        .catch(() => undefined);
    }
  }

  #load(): Promise<LedgerHost> {
    this.#loading ??= this.#begin();
    return this.#loading;
  }

  async #begin(): Promise<LedgerHost> {
    try {
      const { LedgerHost } = await import('./ledger-host.ts');
      const host = await LedgerHost.begin(this.#watched, this.#clock, this.#began);
      for (const observation of this.#waiting) host.take(observation);
      this.#waiting = [];
      this.#host = host;
      return host;
    } catch (error) {
      this.#loading = undefined;
      throw error;
    }
  }
}
