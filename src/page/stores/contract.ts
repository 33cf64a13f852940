import { computed, signal, type ReadonlySignal } from '@preact/signals';
import type { Finding } from '../../base/finding.ts';
import type { Compiled } from '../../table/compiled.ts';
import { onNews, tell } from './port.ts';

/** What was found in one version of the text. */
export type CheckedText = {
  readonly version: number;
  /** The text that was checked: places of findings are offsets into it. */
  readonly text: string;
  /** `undefined` when a finding is an error. */
  readonly compiled: Compiled | undefined;
  readonly findings: readonly Finding[];
};

const textNow = signal('');
/** Nothing is checked before somebody wants to see it: the checker is large, and a visitor who only looks needs none. */
const onDemand = { watched: beginChecking };
const checkedNow = signal<CheckedText | undefined>(undefined, onDemand);
const lastGoodNow = signal<Compiled | undefined>(undefined, onDemand);
let isWanted = false;
/** Texts under way to the worker, by version, with when they went (`performance.now`); only the newest is answered. */
const sent = new Map<number, { readonly text: string; readonly at: number }>();
let version = 0;

/** The contract's text as it stands in the editor. */
export const contractText: ReadonlySignal<string> = textNow;

/** The newest answer of the worker. It may be of an older text for some milliseconds: `isChecked` tells. */
export const checked: ReadonlySignal<CheckedText | undefined> = checkedNow;

/** True when `checked` is about the text as it stands. */
export const isChecked: ReadonlySignal<boolean> = computed(() => checkedNow.value?.text === textNow.value);

/** The newest contract without errors, to be drawn while the text has some. */
export const lastGood: ReadonlySignal<Compiled | undefined> = lastGoodNow;

/** Replaces the text (the editor on each change, a file, an example) and has it checked where that is looked at. */
export function editText(text: string): void {
  if (text === textNow.value && version > 0) return;
  textNow.value = text;
  version += 1;
  if (isWanted) haveChecked();
}

/** Somebody looks at what was found, for the first time or again. */
function beginChecking(): void {
  if (isWanted) return;
  isWanted = true;
  if (version > 0) haveChecked();
}

function haveChecked(): void {
  const text = textNow.peek();
  sent.set(version, { text, at: performance.now() });
  tell('bench', { kind: 'check', version, text });
}

onNews('checked', ({ version: answered, compiled, findings }) => {
  const asked = sent.get(answered);
  for (const old of sent.keys()) if (old <= answered) sent.delete(old);
  if (asked === undefined) return;
  const { text, at } = asked;
  // For the browser's performance tools and our own bench; only the newest is kept.
  performance.clearMeasures('re-check');
  performance.measure('re-check', { start: at });
  checkedNow.value = { version: answered, text, compiled, findings };
  if (compiled !== undefined) lastGoodNow.value = compiled;
});
