import { toHex } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import { showBytes } from '../values/show.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import type { BoardState, LastAccess } from './model.ts';
import { subscriptionBits } from './view.ts';

export type ScreenSize = {
  readonly columns: number;
  readonly rows: number;
  /** From 1; a page past the last shows the last. */
  readonly page: number;
};

/** From this width on a value takes one row, below it two. */
const wide = 72;

/**
 * The whole server as text for any character display: a heading, a row (on narrow displays two) for each value with
 * label, value in its unit, subscription (`N` notify, `I` indicate, `B` both), last access (`W 12s`: written 12 s ago) and
 * raw octets, and a footing with clients and page. Docs/console.md shows both layouts.
 *
 * @param size at least 20 columns and 4 rows
 * @returns exactly `rows` lines of exactly `columns` code points
 */
export function drawScreen(table: Table, state: BoardState, at: Microseconds, size: ScreenSize): readonly string[] {
  const { columns, rows } = size;
  const lines = columns >= wide ? 1 : 2;
  const perPage = Math.max(1, Math.floor((rows - 2) / lines));
  const pages = Math.max(1, Math.ceil(table.values.length / perPage));
  const page = Math.min(Math.max(1, size.page), pages);
  const shown = table.values.slice((page - 1) * perPage, page * perPage);
  const body = shown.flatMap((definition) => {
    const cell = cells(definition, state, at);
    return lines === 1 ? [wideRow(cell, columns)] : narrowRows(cell, columns);
  });
  const out = [heading(table, state, at, columns), ...body.slice(0, rows - 2)];
  while (out.length < rows - 1) out.push(fit('', columns));
  out.push(footing(state, page, pages, columns));
  return out;
}

type Cells = {
  readonly label: string;
  readonly value: string;
  readonly raw: string;
  readonly subscribed: string;
  readonly access: string;
};

function cells(definition: ValueDefinition, state: BoardState, at: Microseconds): Cells {
  const value = state.server.values[definition.index] ?? definition.start;
  let bits = 0;
  for (const connection of state.server.connections.keys()) bits |= subscriptionBits(state, definition, connection);
  return {
    label: printable(definition.label),
    value: printable(showBytes(definition.type, value)),
    raw: value.length === 0 ? '-' : toHex(value),
    subscribed: ['-', 'N', 'I', 'B'][bits] ?? '-',
    access: access(state.lastAccess[definition.index], at),
  };
}

/** Label, value, subscription, access and octets side by side; the octets take what is left. */
function wideRow(cell: Cells, columns: number): string {
  const label = Math.floor(columns * 0.3);
  const value = Math.floor(columns * 0.28);
  const rest = columns - label - value - 3 - accessWidth - 2;
  return [
    fit(cell.label, label),
    fit(cell.value, value),
    cell.subscribed,
    cell.access.padEnd(accessWidth),
    fit(cell.raw, rest),
  ].join(' ');
}

/** Label and value above, subscription, access and octets below, set in. */
function narrowRows(cell: Cells, columns: number): readonly string[] {
  const value = Math.min(length(cell.value), Math.floor(columns / 2));
  const label = columns - value - 1;
  const raw = columns - accessWidth - 5;
  return [
    `${fit(cell.label, label)} ${fit(cell.value, value)}`,
    fit(` ${cell.subscribed} ${cell.access.padEnd(accessWidth)} ${fit(cell.raw, Math.max(0, raw))}`, columns),
  ];
}

function heading(table: Table, state: BoardState, at: Microseconds, columns: number): string {
  const up = clockText(at - state.startedAt);
  return `${fit(printable(table.board.name), columns - up.length - 1)} ${up}`;
}

function footing(state: BoardState, page: number, pages: number, columns: number): string {
  const count = state.clients.size;
  const clients = count === 0 ? 'no client' : count === 1 ? '1 client' : `${count} clients`;
  const left = `${clients}${state.advertising ? ', advertising' : ''}`;
  const right = `${page}/${pages}`;
  return `${fit(left, columns - right.length - 1)} ${right}`;
}

/** `W 12s`: read, written, notified or indicated, and how long ago; at most {@link accessWidth} characters. */
function access(last: LastAccess | undefined, at: Microseconds): string {
  if (last === undefined) return '-';
  const letter = { read: 'R', written: 'W', notified: 'N', indicated: 'I' }[last.how];
  return `${letter} ${age(at - last.at)}`;
}

const accessWidth = 6;

/** At most four characters: `0.4s`, `59s`, `12m`, `3h`, `9d`. */
function age(time: number): string {
  const seconds = time / 1_000_000;
  if (seconds < 10) return `${(Math.floor(seconds * 10) / 10).toFixed(1)}s`;
  if (seconds < 100) return `${Math.floor(seconds)}s`;
  if (seconds < 6000) return `${Math.floor(seconds / 60)}m`;
  if (seconds < 360_000) return `${Math.floor(seconds / 3600)}h`;
  return seconds < 86_400_000 ? `${Math.floor(seconds / 86_400)}d` : 'long';
}

/** `0:00:07`: hours, minutes and seconds since power-up. */
function clockText(time: number): string {
  const seconds = Math.floor(time / 1_000_000);
  const two = (value: number): string => value.toString().padStart(2, '0');
  return `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
}

/** Exactly `width` code points: filled with blanks, or cut with `~` in the last place. */
function fit(text: string, width: number): string {
  if (width <= 0) return '';
  const points = Array.from(text);
  if (points.length > width) return `${points.slice(0, width - 1).join('')}~`;
  return text + ' '.repeat(width - points.length);
}

function length(text: string): number {
  return Array.from(text).length;
}

/** Control and direction characters would spoil the display; each becomes a middle dot. */
function printable(text: string): string {
  return text.replace(/[\p{Cc}\u2028-\u202e\u2066-\u2069]/gu, '\u00b7');
}
