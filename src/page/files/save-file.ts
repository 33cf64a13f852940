import { say } from '../stores/words.ts';

/** What a picker of files offers. */
export const yamlFiles = { description: 'Contract', accept: { 'application/yaml': ['.yaml', '.yml'] as const } };

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

/** A picker that was closed again is no failure. */
export function sayUnlessCancelled(error: unknown, text: string): void {
  if (error instanceof DOMException && error.name === 'AbortError') return;
  say('refused', text, error instanceof Error ? error.message : undefined);
}
