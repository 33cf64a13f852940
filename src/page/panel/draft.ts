import { signal, type Signal } from '@preact/signals';
import { noBytes, type Bytes } from '../../base/bytes.ts';
import { forgetAct, write, type ValueSides } from '../stores/values.ts';
import { entryOf, sendable, type Entry } from './entry.ts';

const drafts = new WeakMap<ValueSides, Signal<Entry | undefined>>();

/** What is entered at a plate and not written yet; `undefined` where nothing is. */
export function draftOf(sides: ValueSides): Signal<Entry | undefined> {
  const known = drafts.get(sides);
  if (known !== undefined) return known;
  const fresh = signal<Entry | undefined>(undefined);
  drafts.set(sides, fresh);
  return fresh;
}

/** The octets known best: what the board holds, else what crossed last, else what it starts with. */
export function knownBytes({ truth, air, definition }: ValueSides): Bytes {
  return truth.value?.raw ?? air.value?.raw ?? definition.start;
}

/** The entry at a plate: the draft, else what is known. */
export function entryAt(sides: ValueSides): Entry {
  return draftOf(sides).value ?? entryOf(sides.definition.type, knownBytes(sides));
}

export function setDraft(sides: ValueSides, entry: Entry): void {
  forgetAct(sides.definition.index);
  draftOf(sides).value = entry;
}

export function dropDraft(sides: ValueSides): void {
  forgetAct(sides.definition.index);
  draftOf(sides).value = undefined;
}

/**
 * Writes what is entered, allowed or not; what cannot be coded is not sent, its reason stands at the entry. Once the board
 * has taken it the plate shows the board's value again; a refused entry stays, to be corrected.
 */
export async function writeDraft(sides: ValueSides, withResponse: boolean): Promise<void> {
  const draft = draftOf(sides);
  const entry = entryAt(sides);
  const { definition } = sides;
  const octets = sendable(definition.type, entry);
  if (!octets.ok) {
    draft.value = entry;
    return;
  }
  const failure = await write(definition.index, octets.bytes, withResponse);
  if (failure === undefined && draft.peek() === entry) draft.value = undefined;
}

/** One press, one write: the entry is shown hollow until the board has answered, and then what the board holds. */
export async function pressAndWrite(sides: ValueSides, entry: Entry): Promise<void> {
  const draft = draftOf(sides);
  const { definition } = sides;
  const octets = sendable(definition.type, entry);
  setDraft(sides, entry);
  await write(definition.index, octets.ok ? octets.bytes : noBytes, definition.access.includes('write'));
  if (draft.peek() === entry) draft.value = undefined;
}
