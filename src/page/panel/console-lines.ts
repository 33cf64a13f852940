import { effect, signal, type ReadonlySignal } from '@preact/signals';
import { parseConsoleLine } from '../../board/console.ts';
import { consoleRows, type ConsoleRow } from '../stores/console.ts';

/** Which of the board's tell lines the pane shows. `acts`: what a client, the console or a failsafe changed. */
export type TellFilter = 'acts' | 'all' | 'none';

/** A line as the pane sets it. */
export type PaneLine = ConsoleRow & { readonly set: 'typed' | 'tell' | 'error' | 'note' | 'answer' };

const mostLines = 300;

const filterNow = signal<TellFilter>('acts');
const linesNow = signal<readonly PaneLine[]>([]);
let seen = 0;

export const tellFilter: ReadonlySignal<TellFilter> = filterNow;

/** The lines that the filter lets through, oldest first, at most 300. It holds for lines that come. */
export const paneLines: ReadonlySignal<readonly PaneLine[]> = linesNow;

export function setTellFilter(filter: TellFilter): void {
  filterNow.value = filter;
}

/** How a line is set; `undefined` for one that the filter leaves out. */
export function paneLine(row: ConsoleRow, filter: TellFilter): PaneLine | undefined {
  if (row.from === 'user') return { ...row, set: 'typed' };
  const line = parseConsoleLine(row.text);
  switch (line?.kind) {
    case 'tell': {
      const isAct = line.cause !== 'rig' && line.cause !== 'start';
      return filter === 'all' || (filter === 'acts' && isAct) ? { ...row, set: 'tell' } : undefined;
    }
    case 'error':
      // Its words are for people; what stands before them is for programs.
      return { ...row, set: 'error', text: `▲ ${line.message}` };
    case 'note':
      return { ...row, set: 'note' };
    default:
      return { ...row, set: 'answer' };
  }
}

effect(() => {
  const rows = consoleRows.value;
  if (rows.length === 0) {
    linesNow.value = [];
    return;
  }
  const fresh = rows.filter(({ id }) => id > seen).flatMap((row) => paneLine(row, filterNow.peek()) ?? []);
  seen = rows.at(-1)?.id ?? seen;
  if (fresh.length > 0) linesNow.value = [...linesNow.peek(), ...fresh].slice(-mostLines);
});

const typed: string[] = [];
let place = 0;

/** Remembers a line that was typed; one that is the last again is not remembered twice. */
export function rememberTyped(line: string): void {
  if (typed.at(-1) !== line) typed.push(line);
  place = typed.length;
}

/** The line typed before (-1) or after (1) the one last recalled; empty behind the newest, `undefined` before the oldest. */
export function recallTyped(step: -1 | 1): string | undefined {
  const next = place + step;
  if (next < 0) return undefined;
  place = Math.min(next, typed.length);
  return typed[place] ?? '';
}
