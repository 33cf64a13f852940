import { signal, type ReadonlySignal } from '@preact/signals';
import { onNews, tell } from './port.ts';

/** A line of the console pane; `id` counts up and never repeats. */
export type ConsoleRow = { readonly id: number; readonly from: 'board' | 'user'; readonly text: string };

/** Lines that are kept. */
const mostRows = 500;
/** The pane follows at this period, milliseconds. */
const period = 100;

const rowsNow = signal<readonly ConsoleRow[]>([]);
let rows: ConsoleRow[] = [];
let nextId = 1;
let timer: ReturnType<typeof setTimeout> | undefined;

/** The newest lines, oldest first, at most 500. A pane that wants no tell lines leaves them out itself. */
export const consoleRows: ReadonlySignal<readonly ConsoleRow[]> = rowsNow;

/** Types a line on the board's console; the answer comes as rows. */
export function typeLine(line: string): void {
  add('user', line);
  show();
  tell('bench', { kind: 'type', line });
}

export function clearConsole(): void {
  rows = [];
  show();
}

function add(from: ConsoleRow['from'], text: string): void {
  rows.push({ id: nextId++, from, text });
  if (rows.length > 2 * mostRows) rows = rows.slice(-mostRows);
}

function show(): void {
  rowsNow.value = rows.slice(-mostRows);
}

onNews('happened', ({ batch }) => {
  if (batch.consoleLines.length === 0) return;
  for (const line of batch.consoleLines) add('board', line);
  timer ??= setTimeout(() => {
    timer = undefined;
    show();
  }, period);
});

onNews('board-started', () => {
  clearConsole();
});
