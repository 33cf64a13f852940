import { batch, computed, effect, signal, type ReadonlySignal } from '@preact/signals';
import type { Example } from '../files/examples.ts';
import { firstExample } from '../files/first-example.ts';
import { keepWork, loadWork, type KeptWork } from '../files/kept-work.ts';
import {
  canPickPlaceToSave,
  downloadText,
  isAsSaved,
  pickPlaceToSave,
  pickTextFile,
  readTextFile,
  writeTextFile,
  type TextFile,
} from '../files/text-file.ts';
import { readCarried } from '../share/carried-text.ts';
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

/** Lets the user pick a contract and opens it; asks first when changes would be lost. */
export async function openFile(): Promise<void> {
  const file = await pickTextFile();
  if (file !== undefined) await openText(file);
}

/** Opens the first file of a drop; tells of the others. */
export async function openDropped(data: DataTransfer): Promise<void> {
  const item = [...data.items].find(({ kind }) => kind === 'file');
  const file = item?.getAsFile();
  if (item === undefined || file === null || file === undefined) {
    say('refused', 'Only files can be dropped here. Drop a contract: a text file, by habit named contract.yaml.');
    return;
  }
  const others = data.files.length - 1;
  const handle = await item.getAsFileSystemHandle?.().catch(() => null);
  const text = await readTextFile(file, handle?.kind === 'file' ? (handle as FileSystemFileHandle) : undefined);
  if (text === undefined) return;
  if (others > 0)
    say('told', `Only “${text.name}” was opened of the ${others + 1} files: there is one contract at a time.`);
  await openText(text);
}

/** Opens one of the bundled examples as a contract of the user's own, without a file. */
export async function openExample(example: Example): Promise<void> {
  if (!(await mayReplace())) return;
  try {
    startWith(`${example.name}.yaml`, await example.load());
  } catch {
    say('refused', 'The example could not be fetched. Connect to the network once, then it stays here.');
  }
}

/** Opens the contract that an address carries; asks first when changes would be lost. */
export async function openCarried(fragment: string): Promise<void> {
  const carried = await readCarried(fragment);
  if (carried === undefined) {
    say('refused', 'The contract in the address is not whole. Copy or scan the address again.');
    return;
  }
  if (await mayReplace()) put(carried.name === '' ? 'contract.yaml' : carried.name, carried.text, undefined, undefined);
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

async function openText({ name, text, handle }: TextFile): Promise<void> {
  if (await mayReplace()) put(name, text, text, handle);
}

/** True when nothing would be lost, or the user said so. */
async function mayReplace(): Promise<boolean> {
  if (!isUnsaved.value) return true;
  const answer = await askUser(`“${nameNow.value}” has changes that are in no file. What should become of them?`, [
    'Keep editing',
    'Save first',
    'Drop the changes',
  ]);
  if (answer === 'Save first') {
    await saveFile();
    return !isUnsaved.value;
  }
  return answer === 'Drop the changes';
}

function startWith(name: string, text: string): void {
  put(name, text, text, undefined);
}

function put(
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
