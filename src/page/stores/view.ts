import { signal, type ReadonlySignal } from '@preact/signals';
import type { SourceRange } from '../../base/text-range.ts';

export const viewNames = ['contract', 'panel', 'ledger', 'proof', 'budget'] as const;
export type ViewName = (typeof viewNames)[number];

/** A place of the contract that the editor shows and marks; `number` counts, so that one place can be asked for twice. */
export type Jump = { readonly range: SourceRange; readonly number: number };

const viewNow = signal<ViewName>('panel');
const presentingNow = signal(false);
const packetsShown = signal(false);
const sharingNow = signal(false);
const jumpNow = signal<Jump | undefined>(undefined);

export const view: ReadonlySignal<ViewName> = viewNow;

/** The size for a projector: chosen plates fill the screen. */
export const presenting: ReadonlySignal<boolean> = presentingNow;

/** Whether the packets that cross are listed under the link line. */
export const showsPackets: ReadonlySignal<boolean> = packetsShown;

/** Whether the contract is shown as an address and a code for a phone. */
export const sharing: ReadonlySignal<boolean> = sharingNow;

/** Where the editor was last asked to go. */
export const jump: ReadonlySignal<Jump | undefined> = jumpNow;

export function showView(name: ViewName): void {
  viewNow.value = name;
}

export function present(on: boolean): void {
  presentingNow.value = on;
}

export function share(on: boolean): void {
  sharingNow.value = on;
}

export function showPackets(on: boolean): void {
  packetsShown.value = on;
}

/** Shows a place of the contract's text in the editor. */
export function goToPlace(range: SourceRange): void {
  jumpNow.value = { range, number: (jumpNow.value?.number ?? 0) + 1 };
  viewNow.value = 'contract';
}

export function viewNamed(text: string): ViewName | undefined {
  return viewNames.find((name) => name === text);
}
