import { markOf, type Entry } from './entry.ts';

/** Where pages go that memory has no room for: a disk, a browser's data base. Numbers count from 0. */
export type EntrySpill = {
  put(page: number, entries: readonly Entry[]): void;
  /** What was put; `undefined` when it is gone. */
  get(page: number): Promise<readonly Entry[] | undefined>;
};

/** What a window on the ledger holds. */
export type EntryWindow = {
  readonly entries: readonly Entry[];
  /** Some of the window's entries were left out, since there are more than can be drawn; none with a mark. */
  readonly thinned: boolean;
};

/** What is wanted of a window. `undefined`: all. */
export type EntryFilter = {
  readonly value: number | undefined;
  readonly marksOnly: boolean;
};

const pageSize = 512;
/** Pages that stay in memory: half a minute of a thousand entries a second. */
const pagesKept = 64;
/** Pages that are looked at for one window. */
const pagesRead = 48;
/** Marks that are kept apart, the newest: none of them shall be missed in a long window. */
const marksKept = 10_000;

type Page = { readonly number: number; from: number; to: number; entries: readonly Entry[] | undefined };

/**
 * The lines of a ledger in pages: the newest in memory, older ones spilled, a short index of all. A window of any length
 * is answered from a bounded number of pages. Entries come nearly in the order of their times.
 */
export class EntryPages {
  readonly #spill: EntrySpill | undefined;
  readonly #pages: Page[] = [];
  #open: Entry[] = [];
  #marked: Entry[] = [];
  #count = 0;

  /** @param spill without one, what memory has no room for is forgotten */
  constructor(spill: EntrySpill | undefined) {
    this.#spill = spill;
  }

  /** Entries taken so far. */
  get count(): number {
    return this.#count;
  }

  /** Entries in memory now. */
  get kept(): number {
    return (
      this.#pages.reduce((sum, { entries }) => sum + (entries?.length ?? 0), this.#open.length) + this.#marked.length
    );
  }

  add(entry: Entry): void {
    this.#count += 1;
    this.#open.push(entry);
    if (markOf(entry) !== undefined) {
      this.#marked.push(entry);
      if (this.#marked.length > 2 * marksKept) this.#marked = this.#marked.slice(-marksKept);
    }
    if (this.#open.length >= pageSize) this.#close();
  }

  /**
   * The entries between two times, both included, in the order of their times.
   *
   * @param most entries of one value that are given; of more, some evenly spaced ones and all that are marked
   */
  async look(from: number, to: number, most: number, filter: EntryFilter): Promise<EntryWindow> {
    const overlapping = this.#pages.filter((page) => page.to >= from && page.from <= to);
    const read = evenly(overlapping, pagesRead);
    const isWanted = (entry: Entry): boolean =>
      entry.at >= from &&
      entry.at <= to &&
      (filter.value === undefined || entry.value === filter.value || entry.kind === 'link') &&
      (!filter.marksOnly || markOf(entry) !== undefined);
    const found = new Set<Entry>();
    for (const page of read)
      for (const entry of (await this.#entriesOf(page)) ?? []) if (isWanted(entry)) found.add(entry);
    for (const entry of this.#open) if (isWanted(entry)) found.add(entry);
    let thinned = read.length < overlapping.length;
    const byValue = new Map<number, Entry[]>();
    for (const entry of found) {
      const list = byValue.get(entry.value);
      if (list === undefined) byValue.set(entry.value, [entry]);
      else list.push(entry);
    }
    const entries: Entry[] = [];
    for (const list of byValue.values()) {
      if (list.length > most) thinned = true;
      entries.push(...(list.length > most ? thin(list, most) : list));
    }
    // A page that was spilled gives copies, so marks are told apart by what they are, not by identity.
    const known = new Set(entries.map(identity));
    for (const entry of this.#marked)
      if (thinned && isWanted(entry) && !known.has(identity(entry))) entries.push(entry);
    return { entries: entries.sort((a, b) => a.at - b.at), thinned };
  }

  #close(): void {
    const number = this.#pages.length;
    const times = this.#open.map(({ at }) => at);
    this.#pages.push({ number, from: Math.min(...times), to: Math.max(...times), entries: this.#open });
    this.#open = [];
    const old = this.#pages[number - pagesKept];
    if (old?.entries === undefined) return;
    this.#spill?.put(old.number, old.entries);
    old.entries = undefined;
  }

  async #entriesOf(page: Page): Promise<readonly Entry[] | undefined> {
    return page.entries ?? (await this.#spill?.get(page.number));
  }
}

/** At most `most` of them, evenly spaced, the last one among them. */
function evenly<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all;
  return Array.from({ length: most }, (_, i) => all[Math.floor(((i + 1) * all.length) / most) - 1] as T);
}

function thin(list: readonly Entry[], most: number): readonly Entry[] {
  const marks = list.filter((entry) => markOf(entry) !== undefined);
  const rest = list.filter((entry) => markOf(entry) === undefined);
  return [...marks, ...evenly(rest, Math.max(1, most - marks.length))];
}

function identity(entry: Entry): string {
  return `${entry.kind} ${entry.value} ${entry.at}`;
}
