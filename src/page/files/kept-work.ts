/** The work in progress as the browser keeps it over a reload. */
export type KeptWork = {
  readonly name: string;
  readonly text: string;
  /** The text as it is in the file; `undefined` when it never was in one. */
  readonly savedText: string | undefined;
  readonly handle: FileSystemFileHandle | undefined;
};

const databaseName = 'gattwright';
const storeName = 'work';
const key = 'current';

/** @throws DOMException when the browser keeps nothing (private window, storage full or forbidden) */
export async function loadWork(): Promise<KeptWork | undefined> {
  const kept: unknown = await withStore('readonly', (store) => store.get(key));
  return isKeptWork(kept) ? kept : undefined;
}

/** @throws DOMException as `loadWork` */
export async function keepWork(work: KeptWork): Promise<void> {
  await withStore('readwrite', (store) => store.put(work, key));
}

async function withStore<T>(mode: IDBTransactionMode, act: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const database = await openDatabase();
  try {
    return await new Promise<T>((resolve, reject) => {
      const transaction = database.transaction(storeName, mode);
      const request = act(transaction.objectStore(storeName));
      transaction.oncomplete = () => {
        resolve(request.result);
      };
      transaction.onabort = () => {
        reject(transaction.error ?? new DOMException('the transaction was ended'));
      };
    });
  } finally {
    database.close();
  }
}

function openDatabase(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(databaseName, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(storeName);
    };
    request.onsuccess = () => {
      resolve(request.result);
    };
    request.onerror = () => {
      reject(request.error ?? new DOMException('the database could not be opened'));
    };
  });
}

/** An older version of this page may have kept something else. */
function isKeptWork(kept: unknown): kept is KeptWork {
  if (typeof kept !== 'object' || kept === null) return false;
  const { name, text, savedText } = kept as Partial<Record<keyof KeptWork, unknown>>;
  return (
    typeof name === 'string' && typeof text === 'string' && (savedText === undefined || typeof savedText === 'string')
  );
}
