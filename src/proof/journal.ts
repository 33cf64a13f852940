import type { Microseconds } from '../base/quantity.ts';
import type { CrossedPdu } from '../att/link.ts';
import type { Crossing, LeftOut } from './verdict.ts';

/** Crossings of one case that are kept: how it began, and what led to its end. */
const keptFirst = 60;
const keptLast = 180;

/** What a journal needs of a client. */
type Recorded = { readonly connection: { readonly transcript: readonly CrossedPdu[] } | undefined };

type Word = Extract<Crossing, { kind: 'word' }>;

/** What happened in a case, in order: the PDUs of its connections, and words between them. */
export class Journal {
  /** Connections that are still of interest, with their numbers. */
  #clients: { readonly client: Recorded; readonly number: number }[] = [];
  #connections = 0;
  /** `after`: how many PDUs of the present clients had crossed before. */
  #words: (Word & { readonly after: number })[] = [];
  /** Of clients that have gone, cut in the middle. */
  #past: readonly Crossing[] = [];
  #leftOut: LeftOut | undefined;

  add(client: Recorded): void {
    this.#connections += 1;
    this.#clients.push({ client, number: this.#connections });
  }

  /** `the client` while there is only one, else `client 2`. */
  nameOf(client: Recorded): string {
    const entry = this.#clients.find((candidate) => candidate.client === client);
    return this.#connections < 2 ? 'the client' : `client ${entry?.number ?? 0}`;
  }

  note(by: Word['by'], text: string, at: Microseconds): void {
    const after = this.#clients.reduce((sum, { client }) => sum + transcriptOf(client).length, 0);
    this.#words.push({ kind: 'word', at, by, text, after });
  }

  /** Lets go of clients that have gone, for a case that has hundreds of them: of what they did, the middle is left out. */
  turnPage(): void {
    const { exchange, leftOut } = this.exchange();
    this.#past = exchange;
    this.#leftOut = leftOut;
    this.#clients = [];
    this.#words = [];
  }

  /** Everything in order of time; of a long exchange the beginning and the end. */
  exchange(): { readonly exchange: readonly Crossing[]; readonly leftOut: LeftOut | undefined } {
    const all = [...this.#past, ...this.#present()];
    const gone = this.#leftOut?.count ?? 0;
    const count = all.length - keptFirst - keptLast;
    if (count <= 0) return { exchange: all, leftOut: this.#leftOut };
    return {
      exchange: [...all.slice(0, keptFirst), ...all.slice(-keptLast)],
      leftOut: { before: keptFirst, count: gone + count },
    };
  }

  #present(): readonly Crossing[] {
    const pdus = this.#clients.flatMap(({ client, number }) =>
      transcriptOf(client).map(({ at, from, pdu }): Crossing => ({ kind: 'pdu', at, from, connection: number, pdu })),
    );
    if (this.#clients.length > 1) pdus.sort((a, b) => a.at - b.at);
    const merged: Crossing[] = [];
    let next = 0;
    for (const { after, ...word } of this.#words) {
      while (next < after && next < pdus.length) merged.push(...pdus.slice(next, ++next));
      merged.push(word);
    }
    return [...merged, ...pdus.slice(next)];
  }
}

function transcriptOf({ connection }: Recorded): readonly CrossedPdu[] {
  return connection?.transcript ?? [];
}
