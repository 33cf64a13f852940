import { batch, computed, effect, signal, type ReadonlySignal } from '@preact/signals';
import { firstExample } from '../files/first-example.ts';
import { keepWork, loadWork, type KeptWork } from '../files/kept-work.ts';
import { canPickPlaceToSave, downloadText, isAsSaved, pickPlaceToSave, writeTextFile } from '../files/save-file.ts';
import { contractText, editText } from './contract.ts';
import { askUser } from './question.ts';
import { say } from './words.ts';

/**
 * How far the work is safe in this browser. `elsewhere`: another window of the page keeps its own work, and this one's
 * would be overwritten; `refused`: the browser keeps nothing.
 */
export type Keeping = 'kept' | 'waiting' | 'elsewhere' | 'refused';

const nameNow = signal('contract.yaml');
const savedTextNow = signal<string | undefined>(undefined);
const handleNow = signal<FileSystemFileHandle | undefined>(undefined);
const keepingNow = signal<Keeping>('waiting');
const workNow = computed<KeptWork>(() => ({
  name: nameNow.value,
  text: contractText.value,
  savedText: savedTextNow.value,
  handle: handleNow.value,
}));
/** Milliseconds after the last change until the work is kept. */
const keepAfter = 300;

export const fileName: ReadonlySignal<string> = nameNow;
/** The text differs from what is in the file (or the example). */
export const isUnsaved: ReadonlySignal<boolean> = computed(() => contractText.value !== savedTextNow.value);
export const keeping: ReadonlySignal<Keeping> = keepingNow;

/** Brings back the work of the last visit, or begins with the first example. Then keeps what is changed. */
export async function beginDocument(): Promise<void> {
  try {
    const kept = await loadWork();
    if (kept === undefined) startWith(firstExample.name + '.yaml', firstExample.text);
    else put(kept.name, kept.text, kept.savedText, kept.handle);
  } catch {
    keepingNow.value = 'refused';
    startWith(firstExample.name + '.yaml', firstExample.text);
  }
  if (keepingNow.value !== 'refused') takeTurn();
}

/** Writes the file the contract came from, or as `saveFileAs` where there is none. */
export async function saveFile(): Promise<void> {
  const handle = handleNow.value;
  if (handle === undefined) return saveFileAs();
  if (!(await isAsSaved(handle, savedTextNow.value))) {
    const answer = await askUser(`“${handle.name}” was changed by another program since it was read here.`, [
      'Leave it as it is',
      'Save elsewhere',
      'Overwrite it',
    ]);
    if (answer === 'Save elsewhere') return saveFileAs();
    if (answer !== 'Overwrite it') return;
  }
  await writeTo(handle);
}

/** Lets the user pick where to write; where the browser cannot, the file is downloaded. */
export async function saveFileAs(): Promise<void> {
  if (canPickPlaceToSave()) {
    const handle = await pickPlaceToSave(nameNow.value);
    if (handle !== undefined) await writeTo(handle);
    return;
  }
  downloadText(nameNow.value, contractText.value, 'application/yaml');
  savedTextNow.value = contractText.value;
  say('told', `“${nameNow.value}” went to your downloads.`);
}

async function writeTo(handle: FileSystemFileHandle): Promise<void> {
  const text = contractText.value;
  if (!(await writeTextFile(handle, text))) return;
  batch(() => {
    nameNow.value = handle.name;
    handleNow.value = handle;
    savedTextNow.value = text;
  });
  say('told', `“${handle.name}” is saved.`);
}

/** Begins with a text that is in no file. */
export function startWith(name: string, text: string): void {
  put(name, text, text, undefined);
}

/**
 * Takes a document in place of the one that is here.
 *
 * @param savedText what its file holds; `undefined`: nowhere but here
 */
export function put(
  name: string,
  text: string,
  savedText: string | undefined,
  handle: FileSystemFileHandle | undefined,
): void {
  batch(() => {
    nameNow.value = name;
    savedTextNow.value = savedText;
    handleNow.value = handle;
    editText(text);
  });
}

/** One window at a time keeps its work; the others wait until it is closed, and say so. */
function takeTurn(): void {
  // Not on plain HTTP from another machine.
  if (!('locks' in navigator)) {
    keepChanges();
    return;
  }
  const late = setTimeout(() => {
    keepingNow.value = 'elsewhere';
  }, 1000);
  void navigator.locks.request('gattwright-work', async () => {
    clearTimeout(late);
    keepChanges();
    // Held until the window is closed.
    await new Promise(() => undefined);
  });
}

function keepChanges(): void {
  let waiting: { readonly work: KeptWork; readonly timer: ReturnType<typeof setTimeout> } | undefined;
  const keep = async (work: KeptWork): Promise<void> => {
    waiting = undefined;
    try {
      await keepWork(work);
      if (work === workNow.peek()) keepingNow.value = 'kept';
    } catch {
      keepingNow.value = 'refused';
    }
  };
  effect(() => {
    const work = workNow.value;
    clearTimeout(waiting?.timer);
    keepingNow.value = 'waiting';
    waiting = { work, timer: setTimeout(() => void keep(work), keepAfter) };
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'hidden' || waiting === undefined) return;
    clearTimeout(waiting.timer);
    void keep(waiting.work);
  });
}
