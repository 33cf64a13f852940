import type { Observation } from './observation.ts';
import { readHead, readObservation, type SessionHead } from './session.ts';

/** A line of a recording that was left out. Lines count from 1. */
export type UnreadLine = { readonly line: number; readonly why: string };

/** Unread lines that are told one by one; of more only the count is kept. */
const mostTold = 20;
/** Longest line that is looked at: a contract of a megabyte fits in a head. */
const longestLine = 4_000_000;

/**
 * Reads a recording line by line, however long it is. A line that cannot be read is left out and told; a torn last line, as
 * a crash leaves it, is no mistake.
 */
export class SessionReader {
  #head: SessionHead | undefined;
  #refused: string | undefined;
  #line = 0;
  #last = 0;
  #torn = false;
  readonly #unread: UnreadLine[] = [];
  #unreadCount = 0;
  #before: UnreadLine | undefined;

  /** `undefined` before the first line. */
  get head(): SessionHead | undefined {
    return this.#head;
  }

  /** Why it is no recording that can be read at all. */
  get refused(): string | undefined {
    return this.#refused;
  }

  /** The first lines that were left out. */
  get unread(): readonly UnreadLine[] {
    return this.#unread;
  }

  get unreadCount(): number {
    return this.#unreadCount;
  }

  /** The last line broke off: the session was not ended, and what came after was lost. */
  get torn(): boolean {
    return this.#torn;
  }

  /**
   * Takes the next line, without its line end.
   *
   * @returns what it says; `undefined` for the head and for what is left out
   */
  take(line: string): Observation | undefined {
    this.#line += 1;
    if (this.#refused !== undefined) return undefined;
    if (this.#head === undefined) {
      const head = readHead(line);
      if (head.ok) this.#head = head.value;
      else this.#refused = head.why;
      return undefined;
    }
    if (line === '') return undefined;
    // What was torn is so only if nothing follows.
    this.#tell();
    const read = line.length > longestLine ? { ok: false as const, why: 'it is too long' } : readObservation(line);
    if (!read.ok) {
      this.#before = { line: this.#line, why: read.why };
      return undefined;
    }
    if (read.value.at < this.#last) {
      this.#before = { line: this.#line, why: 'its time goes back' };
      return undefined;
    }
    this.#last = read.value.at;
    return read.value;
  }

  /** No more lines follow. @param whole whether the last one had its line end */
  end(whole: boolean): void {
    if (this.#head === undefined && this.#refused === undefined) this.#refused = 'it is empty';
    if (this.#before !== undefined && !whole) {
      this.#torn = true;
      this.#before = undefined;
    }
    this.#tell();
  }

  #tell(): void {
    if (this.#before === undefined) return;
    this.#unreadCount += 1;
    if (this.#unread.length < mostTold) this.#unread.push(this.#before);
    this.#before = undefined;
  }
}
