import { us } from '../../base/quantity.ts';
import type { Clock } from '../../base/clock.ts';
import { EntryPages } from '../../ledger/entry-pages.ts';
import { Ledger } from '../../ledger/ledger.ts';
import type { Observation } from '../../ledger/observation.ts';
import { reportLedger } from '../../ledger/report.ts';
import { SessionWriter } from '../../ledger/session-writer.ts';
import type { LedgerAnswer, LedgerWant, Seen } from './ledger-protocol.ts';
import { Recordings } from './recordings.ts';
import type { Watched } from './watched.ts';

/** A board that says nothing is told that time passes, so that what is missing is missed. */
const idle = 1_000_000;

/** The ledger of the session on the panel, with its recording. */
export class LedgerHost {
  readonly #watched: Watched;
  readonly #clock: Clock;
  readonly #ledger: Ledger;
  readonly #pages: EntryPages;
  readonly #recordings: Recordings | undefined;
  #writer: SessionWriter | undefined;
  #recording: number | undefined;
  #notRecorded: string | undefined;
  #last: { readonly at: number; readonly clock: number } | undefined;

  private constructor(watched: Watched, clock: Clock, recordings: Recordings | undefined) {
    this.#watched = watched;
    this.#clock = clock;
    this.#recordings = recordings;
    this.#pages = new EntryPages(recordings?.spill());
    this.#ledger = new Ledger(watched.table, {
      onEntry: (entry) => {
        this.#pages.add(entry);
      },
    });
  }

  /** @param began when the session began, ISO 8601 */
  static async begin(watched: Watched, clock: Clock, began: string): Promise<LedgerHost> {
    const recordings = await Recordings.open().catch(() => undefined);
    const host = new LedgerHost(watched, clock, recordings);
    await host.#record(began);
    return host;
  }

  take(observation: Observation): void {
    this.#last = { at: observation.at, clock: this.#clock.now() };
    this.#writer?.take(observation);
    this.#ledger.take(observation);
  }

  end(): void {
    void this.#writer?.end();
    this.#writer = undefined;
  }

  async answer(want: LedgerWant): Promise<LedgerAnswer> {
    if (want.kind === 'look') return { kind: 'seen', seen: await this.#look(want) };
    if (this.#recordings === undefined) return { kind: 'refused', why: 'This browser keeps no recordings.' };
    // What is being written shall be there to the last moment.
    this.#writer?.flush();
    const { keeperAnswer } = await import('./recording-acts.ts');
    return keeperAnswer(this.#recordings, want, this.#writer === undefined ? undefined : this.#recording);
  }

  async #look({ to, span, most, value, marksOnly }: Extract<LedgerWant, { kind: 'look' }>): Promise<Seen> {
    const last = this.#last;
    if (last !== undefined && this.#clock.now() - last.clock > idle && this.#watched.origin.kind === 'board') {
      this.#ledger.advance(us(last.at + this.#clock.now() - last.clock));
    }
    const { now } = this.#ledger;
    const end = to ?? now;
    const from = Math.max(0, end - span);
    const { entries, thinned } = await this.#pages.look(from, end, most, { value, marksOnly });
    return {
      now,
      // A young session fills its window from the left.
      from,
      to: from + span,
      entries,
      thinned,
      report: reportLedger(this.#ledger),
      recording: this.#recording,
      notRecorded: this.#notRecorded,
      replay: undefined,
    };
  }

  async #record(began: string): Promise<void> {
    const { origin, contract, table } = this.#watched;
    if (origin.kind === 'replay') {
      this.#recording = origin.id;
      return;
    }
    if (this.#recordings === undefined) {
      this.#notRecorded = 'This browser keeps no recordings: the session is lost when the page is closed.';
      return;
    }
    try {
      const id = await this.#recordings.begin(table.board.name, began);
      this.#recording = id;
      const sink = this.#recordings.sink(id, () => ({
        length: this.#ledger.now,
        observations: this.#writer?.count ?? 0,
      }));
      const head = { contract, name: table.board.name, link: origin.link, began };
      this.#writer = new SessionWriter(head, sink, this.#clock, (error) => {
        this.#writer = undefined;
        const why = error instanceof DOMException ? error.name : String(error);
        this.#notRecorded = `The recording was ended: the browser takes no more (${why}). Delete old ones, or export them.`;
      });
    } catch {
      this.#notRecorded = 'This browser keeps no recordings: the session is lost when the page is closed.';
    }
  }
}
