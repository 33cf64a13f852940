import { say } from '../stores/words.ts';
import { sayUnlessCancelled, yamlFiles } from './save-file.ts';

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
