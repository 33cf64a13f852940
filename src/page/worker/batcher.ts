import type { Cancel, Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import type { CrossedPdu } from '../../att/link.ts';
import type { AirValue, Batch, TruthChange } from './protocol.ts';

/** Time between two batches: the page need not draw faster. */
const period = us(50_000);
/** PDUs and console lines a batch carries at most; more than a person can read, and memory stays flat. */
const mostPdus = 60;
const mostLines = 100;

/** What is looked at when a batch is closed. */
export type Snapshot = Pick<Batch, 'boardMs' | 'subscriptions' | 'rig'>;

/**
 * Gathers what happens on the board and its link and posts it at most twenty times a second. Truth and air are complete:
 * charts and counts need each value. PDUs and console lines are the newest ones, with a count of all.
 */
export class Batcher {
  readonly #post: (batch: Batch) => void;
  readonly #snapshot: () => Snapshot;
  #truth: TruthChange[] = [];
  #air: AirValue[] = [];
  #pdus: CrossedPdu[] = [];
  #lines: string[] = [];
  #central = 0;
  #board = 0;
  readonly #clock: Clock;
  #cancel: Cancel;

  constructor(clock: Clock, post: (batch: Batch) => void, snapshot: () => Snapshot) {
    this.#post = post;
    this.#snapshot = snapshot;
    this.#clock = clock;
    this.#cancel = this.#schedule();
  }

  truth(change: TruthChange): void {
    this.#truth.push(change);
  }

  air(value: AirValue): void {
    this.#air.push(value);
  }

  pdu(crossed: CrossedPdu): void {
    if (crossed.from === 'central') this.#central += 1;
    else this.#board += 1;
    this.#pdus.push(crossed);
    if (this.#pdus.length > 2 * mostPdus) this.#pdus = this.#pdus.slice(-mostPdus);
  }

  line(line: string): void {
    this.#lines.push(line);
    if (this.#lines.length > 2 * mostLines) this.#lines = this.#lines.slice(-mostLines);
  }

  /** Posts what there is; an answer that refers to it must not overtake it. */
  flush(): void {
    this.#post({
      ...this.#snapshot(),
      truth: this.#truth,
      air: this.#air,
      pdus: this.#pdus.slice(-mostPdus),
      pduCounts: { central: this.#central, board: this.#board },
      consoleLines: this.#lines.slice(-mostLines),
    });
    this.#truth = [];
    this.#air = [];
    this.#pdus = [];
    this.#lines = [];
    this.#central = 0;
    this.#board = 0;
  }

  stop(): void {
    this.#cancel();
  }

  #schedule(): Cancel {
    return this.#clock.schedule(us(this.#clock.now() + period), () => {
      this.#cancel = this.#schedule();
      this.flush();
    });
  }
}
