import { say } from '../stores/words.ts';

/** A text file the user chose or dropped. `handle` where the page may write it back. */
export type TextFile = {
  readonly name: string;
  readonly text: string;
  readonly handle: FileSystemFileHandle | undefined;
};

/** Octets a contract may have (docs/SPEC.md). */
const largestContract = 1024 * 1024;

/** The file's text, or words to the user and `undefined`: too large, or no UTF-8. */
export async function readTextFile(file: File, handle?: FileSystemFileHandle): Promise<TextFile | undefined> {
  if (file.size > largestContract) {
    const size = (file.size / largestContract).toFixed(1);
    say(
      'refused',
      `“${file.name}” has ${size} MiB, but a contract has at most 1 MiB. Choose the contract file itself.`,
    );
    return undefined;
  }
  try {
    const octets = await file.arrayBuffer();
    const text = new TextDecoder('utf-8', { fatal: true }).decode(octets);
    if (text.includes('\0')) throw new TypeError('it holds the character NUL');
    return { name: file.name, text, handle };
  } catch (error) {
    const isGone = error instanceof DOMException;
    say(
      'refused',
      isGone
        ? `“${file.name}” could not be read. It may have been moved or taken away.`
        : `“${file.name}” is no UTF-8 text. Choose a contract: a text file, by habit named contract.yaml.`,
      error instanceof Error ? error.message : undefined,
    );
    return undefined;
  }
}

/** A file the user picks; `undefined` when none was picked or it could not be read. */
export async function pickTextFile(): Promise<TextFile | undefined> {
  const pick = window.showOpenFilePicker;
  if (pick === undefined) {
    const file = await pickByInput();
    return file === undefined ? undefined : readTextFile(file);
  }
  try {
    const [handle] = await pick({ types: [yamlFiles], excludeAcceptAllOption: false });
    return handle === undefined ? undefined : await readTextFile(await handle.getFile(), handle);
  } catch (error) {
    sayUnlessCancelled(error, 'The file could not be opened.');
    return undefined;
  }
}

/** A place to write to that the user picks; `undefined` when cancelled or where the browser has no such picker. */
export async function pickPlaceToSave(name: string): Promise<FileSystemFileHandle | undefined> {
  try {
    return await window.showSaveFilePicker?.({ suggestedName: name, types: [yamlFiles] });
  } catch (error) {
    sayUnlessCancelled(error, 'The file could not be saved there.');
    return undefined;
  }
}

export function canPickPlaceToSave(): boolean {
  return window.showSaveFilePicker !== undefined;
}

/** False when the file can be read and holds something else than `savedText`. */
export async function isAsSaved(handle: FileSystemFileHandle, savedText: string | undefined): Promise<boolean> {
  try {
    return savedText === undefined || (await (await handle.getFile()).text()) === savedText;
  } catch {
    // Taken away, or not to be read without asking: writing it loses nothing, or asks.
    return true;
  }
}

/** Writes the whole text; tells the user and gives false when that fails: the old file is then as it was. */
export async function writeTextFile(handle: FileSystemFileHandle, text: string): Promise<boolean> {
  try {
    const writable = await handle.createWritable();
    await writable.write(text);
    await writable.close();
    return true;
  } catch (error) {
    const detail = error instanceof Error ? error.message : undefined;
    say('refused', `“${handle.name}” could not be written. Your changes are still here; save them elsewhere.`, detail);
    return false;
  }
}

/** Hands the text to the browser as a download. */
export function downloadText(name: string, text: string, type = 'text/plain'): void {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const anchor = document.createElement('a');
  anchor.href = url;
  anchor.download = name;
  anchor.click();
  // The download has its own hold on the data once it has begun.
  setTimeout(() => {
    URL.revokeObjectURL(url);
  }, 10_000);
}

const yamlFiles = { description: 'Contract', accept: { 'application/yaml': ['.yaml', '.yml'] as const } };

function pickByInput(): Promise<File | undefined> {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.yaml,.yml,.txt,application/yaml,text/plain';
  return new Promise((resolve) => {
    input.addEventListener('change', () => {
      resolve(input.files?.[0]);
    });
    input.addEventListener('cancel', () => {
      resolve(undefined);
    });
    input.click();
  });
}

function sayUnlessCancelled(error: unknown, text: string): void {
  if (error instanceof DOMException && error.name === 'AbortError') return;
  say('refused', text, error instanceof Error ? error.message : undefined);
}
