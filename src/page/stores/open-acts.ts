import type { Example } from '../files/examples.ts';
import { pickTextFile, readTextFile, type TextFile } from '../files/open-file.ts';
import { readCarried } from '../share/carried-text.ts';
import { fileName, isUnsaved, put, saveFile, startWith } from './document.ts';
import { askUser } from './question.ts';
import { say } from './words.ts';

/** Lets the user pick a contract and opens it; asks first when changes would be lost. */
export async function openFile(): Promise<void> {
  const file = await pickTextFile();
  if (file !== undefined) await openText(file);
}

/** What was dropped: of the data of a drop nothing is left behind its event. */
export type Dropped = {
  readonly file: File | undefined;
  readonly handle: Promise<FileSystemHandle | null> | undefined;
  /** How many files there were. */
  readonly count: number;
};

/** Opens the first file of a drop; tells of the others. */
export async function openDropped(dropped: Dropped): Promise<void> {
  const { file } = dropped;
  if (file === undefined) {
    say('refused', 'Only files can be dropped here. Drop a contract: a text file, by habit named contract.yaml.');
    return;
  }
  const others = dropped.count - 1;
  const handle = await dropped.handle?.catch(() => null);
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

async function openText({ name, text, handle }: TextFile): Promise<void> {
  if (await mayReplace()) put(name, text, text, handle);
}

/** True when nothing would be lost, or the user said so. */
async function mayReplace(): Promise<boolean> {
  if (!isUnsaved.value) return true;
  const answer = await askUser(`“${fileName.value}” has changes that are in no file. What should become of them?`, [
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
