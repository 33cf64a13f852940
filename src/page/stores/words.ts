import { signal, type ReadonlySignal } from '@preact/signals';

/**
 * Something the page tells its user. `told` goes by itself after a while; `caution` and `refused` stay until they are
 * taken away.
 */
export type Words = {
  readonly id: number;
  readonly kind: 'told' | 'caution' | 'refused';
  readonly text: string;
  /** What stands behind it, set in mono: a number, a message of the system. */
  readonly detail: string | undefined;
};

/** Milliseconds that `told` stays: time to read it twice. */
const staying = 6000;
const mostWords = 4;

const wordsNow = signal<readonly Words[]>([]);
let nextId = 1;

export const words: ReadonlySignal<readonly Words[]> = wordsNow;

/** @param text a sentence in the user's terms, as text: it is never taken for markup */
export function say(kind: Words['kind'], text: string, detail?: string): void {
  const id = nextId++;
  const others = wordsNow.value.filter((one) => one.text !== text);
  wordsNow.value = [...others, { id, kind, text, detail }].slice(-mostWords);
  if (kind === 'told') {
    setTimeout(() => {
      takeAway(id);
    }, staying);
  }
}

export function takeAway(id: number): void {
  wordsNow.value = wordsNow.value.filter((one) => one.id !== id);
}
