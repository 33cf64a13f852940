import { effect, signal, type ReadonlySignal } from '@preact/signals';
import type { Compiled } from '../../table/compiled.ts';
import { lastGood } from '../stores/contract.ts';

/** Longest that the sheet waits for the page to have nothing more urgent to do, milliseconds. */
const longestWait = 200;

const printedNow = signal<Compiled | undefined>(lastGood.peek());

/** What the sheet shows: the last contract without errors, behind the keys that are typed. */
export const printed: ReadonlySignal<Compiled | undefined> = printedNow;

/** Lets the sheet follow the contract; at once when it is empty. Returns how to stop. */
export function followContract(): () => void {
  return effect(() => {
    const compiled = lastGood.value;
    if (printedNow.peek() === undefined) {
      printedNow.value = compiled;
      return undefined;
    }
    // Not every browser has idle callbacks; a timer that comes after the next frame does.
    if (!('requestIdleCallback' in globalThis)) {
      const timer = setTimeout(() => (printedNow.value = compiled), 50);
      return () => {
        clearTimeout(timer);
      };
    }
    const waiting = requestIdleCallback(() => (printedNow.value = compiled), { timeout: longestWait });
    return () => {
      cancelIdleCallback(waiting);
    };
  });
}
