import { signal, type ReadonlySignal } from '@preact/signals';
import type { Entry } from '../../ledger/entry.ts';

const chosenNow = signal<Entry | undefined>(undefined);

/** The line of the ledger whose octets are shown. */
export const chosen: ReadonlySignal<Entry | undefined> = chosenNow;

export function choose(entry: Entry | undefined): void {
  chosenNow.value = entry;
}
