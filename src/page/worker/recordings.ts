import type { Entry } from '../../ledger/entry.ts';
import type { EntrySpill } from '../../ledger/entry-pages.ts';
import type { SessionSink } from '../../ledger/session-writer.ts';
import type { Recording } from './ledger-protocol.ts';

const databaseName = 'gattwright-sessions';
const version = 1;
/** Recordings that are kept; when there are more, the oldest goes. */
const mostKept = 12;

type Kept = Recording & { readonly pieces: number };

/**
 * The recordings of this browser: a line about each, and its text in pieces, in the order they came. Each piece is
 * written in one transaction with the line about it, so that a tab that is closed leaves a whole recording up to then.
 */
export class Recordings {
  readonly #database: IDBDatabase;
  /** Spilled pages of the ledger, of this worker only. */
  readonly #spilled = `${Date.now().toString(36)} ${Math.random().toString(36)}`;

  private constructor(database: IDBDatabase) {
    this.#database = database;
  }

  /** @throws DOMException when the browser keeps nothing */
  static async open(): Promise<Recordings> {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open(databaseName, version);
      request.onupgradeneeded = () => {
        request.result.createObjectStore('recordings', { keyPath: 'id', autoIncrement: true });
        request.result.createObjectStore('pieces');
        request.result.createObjectStore('spill');
      };
      request.onsuccess = () => {
        resolve(request.result);
      };
      request.onerror = () => {
        reject(request.error ?? new DOMException('the data base could not be opened'));
      };
    });
    return new Recordings(database);
  }

  /** The newest first. `writing`: the one that is being written in this tab. */
  async list(writing: number | undefined): Promise<readonly Recording[]> {
    const kept = (await this.#do('recordings', 'readonly', (store) => store.getAll())) as Kept[];
    return kept
      .filter(({ pieces }) => pieces > 0)
      .map(({ id, name, began, length, observations, size }) => ({
        id,
        name,
        began,
        length,
        observations,
        size,
        isOpen: id === writing,
      }))
      .reverse();
  }

  /** Begins a recording. The oldest ones make room for it. */
  async begin(name: string, began: string): Promise<number> {
    const line: Omit<Kept, 'id'> = { name, began, length: 0, observations: 0, size: 0, pieces: 0, isOpen: false };
    const id = (await this.#do('recordings', 'readwrite', (store) => store.add(line))) as number;
    const all = (await this.#do('recordings', 'readonly', (store) => store.getAllKeys())) as number[];
    for (const old of all.slice(0, Math.max(0, all.length - mostKept))) await this.delete(old);
    return id;
  }

  /** @param progress what the line about it shall say, asked when a piece is written */
  sink(id: number, progress: () => { readonly length: number; readonly observations: number }): SessionSink {
    return {
      append: (text) =>
        new Promise((resolve, reject) => {
          const transaction = this.#database.transaction(['recordings', 'pieces'], 'readwrite');
          const lines = transaction.objectStore('recordings');
          const request = lines.get(id) as IDBRequest<Kept | undefined>;
          request.onsuccess = () => {
            const line = request.result;
            // Deleted meanwhile, here or in another tab.
            if (line === undefined) {
              transaction.abort();
              return;
            }
            transaction.objectStore('pieces').put(text, [id, line.pieces]);
            lines.put({ ...line, ...progress(), size: line.size + text.length, pieces: line.pieces + 1 });
          };
          transaction.oncomplete = () => {
            resolve();
          };
          transaction.onabort = () => {
            reject(transaction.error ?? new DOMException('the recording was deleted'));
          };
        }),
    };
  }

  /** The text of a recording, piece by piece. */
  async *pieces(id: number): AsyncGenerator<string> {
    const line = (await this.#do('recordings', 'readonly', (store) => store.get(id))) as Kept | undefined;
    for (let piece = 0; piece < (line?.pieces ?? 0); piece++) {
      const text: unknown = await this.#do('pieces', 'readonly', (store) => store.get([id, piece]));
      if (typeof text === 'string') yield text;
    }
  }

  async delete(id: number): Promise<void> {
    await this.#do('recordings', 'readwrite', (store) => store.delete(id));
    await this.#do('pieces', 'readwrite', (store) => store.delete(IDBKeyRange.bound([id], [id, []])));
  }

  /** For the pages of a ledger that memory has no room for. What an earlier visit left there is deleted. */
  spill(): EntrySpill {
    void this.#do('spill', 'readwrite', (store) => store.clear()).catch(() => undefined);
    const key = (page: number): string => `${this.#spilled} ${page}`;
    return {
      put: (page, entries) => {
        void this.#do('spill', 'readwrite', (store) => store.put(entries, key(page))).catch(() => undefined);
      },
      get: async (page) => {
        try {
          return (await this.#do('spill', 'readonly', (store) => store.get(key(page)))) as readonly Entry[] | undefined;
        } catch {
          return undefined;
        }
      },
    };
  }

  #do(store: string, mode: IDBTransactionMode, act: (store: IDBObjectStore) => IDBRequest): Promise<unknown> {
    return new Promise((resolve, reject) => {
      const transaction = this.#database.transaction(store, mode);
      const request = act(transaction.objectStore(store));
      transaction.oncomplete = () => {
        resolve(request.result);
      };
      transaction.onabort = () => {
        reject(transaction.error ?? new DOMException('the transaction was ended'));
      };
    });
  }
}
