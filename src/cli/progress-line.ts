import type { Io } from './io.ts';

export type ProgressLine = { show(text: string): void; clear(): void };

/** One line on standard error that is written over and over; nothing where nobody watches. */
export function progressLine(io: Io): ProgressLine {
  if (!io.watched) return { show: () => undefined, clear: () => undefined };
  let shown = 0;
  const put = (text: string): void => {
    io.err(`\r${text.padEnd(shown)}`);
    shown = text.length;
  };
  return {
    show: (text) => {
      put(text.slice(0, Math.max(20, io.columns - 1)));
    },
    clear: () => {
      put('');
      io.err('\r');
    },
  };
}
