import { fromHex, type Bytes } from '../base/bytes.ts';
import { nearest } from '../base/nearest.ts';
import { escapeWord, unescapeText } from './escape.ts';
import type { ErrorWord } from './console.ts';

/** What a person or a program may type on a board's console (docs/console.md). */
export type Command =
  | { readonly kind: 'help' }
  | { readonly kind: 'list' }
  | { readonly kind: 'get'; readonly id: string }
  | { readonly kind: 'set'; readonly id: string; readonly value: TypedValue }
  | { readonly kind: 'clients' }
  | { readonly kind: 'hash' }
  | { readonly kind: 'time' }
  | { readonly kind: 'tell'; readonly on: boolean }
  | { readonly kind: 'screen'; readonly columns: number; readonly rows: number; readonly page: number }
  /** `undefined`: all of them. */
  | { readonly kind: 'drop'; readonly client: number | undefined };

/** Octets behind `=`, or the physical form for the value's type to read. */
export type TypedValue =
  { readonly kind: 'raw'; readonly bytes: Bytes } | { readonly kind: 'physical'; readonly text: string };

/** Why a typed line is no command; the parts of an `error` line. */
export type CommandError = {
  readonly kind: 'error';
  /** The first word as typed, fit to be printed. */
  readonly command: string;
  readonly reason: ErrorWord;
  readonly message: string;
};

/** Every command: how it is typed, and what it does, in one line each. */
export const commandHelp: readonly { readonly usage: string; readonly about: string }[] = [
  { usage: 'help', about: 'these lines' },
  { usage: 'list', about: 'every value of the board' },
  { usage: 'get ID', about: 'one value' },
  { usage: 'set ID VALUE', about: 'change a value: in its unit, by name, as text, or =HEX for octets' },
  { usage: 'clients', about: 'who is connected, and to what subscribed' },
  { usage: 'hash', about: 'the database hash: as the specification prints it, and as it is sent' },
  { usage: 'time', about: "the board's clock in milliseconds" },
  { usage: 'tell on|off', about: 'whether changes are told as they happen' },
  { usage: 'screen [COLUMNSxROWS [PAGE]]', about: 'the whole server as a text screen, 80x24 unless said' },
  { usage: 'drop CLIENT|all', about: 'end a connection from the board' },
];

const commandWords = commandHelp.map(({ usage }) => usage.split(' ')[0] ?? usage);

/** Screens that can be drawn, characters. */
export const screenLimits = { columns: { min: 20, max: 200 }, rows: { min: 4, max: 100 } } as const;

/**
 * Reads a line as typed, without its line end. Blanks before the first word are skipped; the value of `set` is all that
 * stands behind the one blank after the id, blanks included.
 *
 * @returns `undefined` for a line that is empty or all blanks: it is no command and is not answered
 */
export function parseCommand(line: string): Command | CommandError | undefined {
  const typed = line.replace(/^[ \t]+/, '');
  const [, word = '', tail = ''] = /^([^ \t]+)(?:[ \t]([^]*))?$/.exec(typed) ?? [];
  if (word === '') return undefined;
  const refuse = (reason: ErrorWord, message: string): CommandError => ({
    kind: 'error',
    command: escapeWord(Array.from(word).slice(0, 32).join('')),
    reason,
    message,
  });
  const plain = (kind: 'help' | 'list' | 'clients' | 'hash' | 'time'): Command | CommandError =>
    words(tail).length === 0 ? { kind } : refuse('extra-argument', `${kind} takes nothing behind it`);
  switch (word) {
    case 'help':
    case 'list':
    case 'clients':
    case 'hash':
    case 'time':
      return plain(word);
    case 'get': {
      const ids = words(tail);
      if (ids[0] === undefined) return refuse('missing-argument', 'get needs the id of a value');
      if (ids.length > 1) return refuse('extra-argument', 'get takes one id');
      return { kind: 'get', id: ids[0] };
    }
    case 'set':
      return parseSet(tail, refuse);
    case 'tell': {
      const [state, ...more] = words(tail);
      if (state === undefined) return refuse('missing-argument', 'tell needs on or off');
      if (more.length > 0) return refuse('extra-argument', 'tell takes one word');
      return state === 'on' || state === 'off'
        ? { kind: 'tell', on: state === 'on' }
        : refuse('bad-argument', 'tell takes on or off');
    }
    case 'screen':
      return parseScreen(words(tail), refuse);
    case 'drop': {
      const [client, ...more] = words(tail);
      if (client === undefined) return refuse('missing-argument', 'drop needs the number of a client, or all');
      if (more.length > 0) return refuse('extra-argument', 'drop takes one client');
      if (client === 'all') return { kind: 'drop', client: undefined };
      return /^\d{1,9}$/.test(client)
        ? { kind: 'drop', client: Number(client) }
        : refuse('bad-argument', 'drop takes the number of a client, or all');
    }
    default: {
      const meant = nearest(word, commandWords);
      return refuse('unknown-command', meant === undefined ? 'type help for the commands' : `did you mean ${meant}?`);
    }
  }
}

type Refuse = (reason: ErrorWord, message: string) => CommandError;

function parseSet(tail: string, refuse: Refuse): Command | CommandError {
  const [, id = '', text] = /^[ \t]*([^ \t]+)(?:[ \t]([^]*))?$/.exec(tail) ?? [];
  if (id === '') return refuse('missing-argument', 'set needs the id of a value and the value');
  if (text === undefined || text === '')
    return refuse('missing-argument', 'set needs a value; = alone is the empty one');
  if (text.startsWith('=')) {
    const bytes = fromHex(text.slice(1));
    return bytes === undefined
      ? refuse('bad-argument', 'behind = stand octets, two hex digits each')
      : { kind: 'set', id, value: { kind: 'raw', bytes } };
  }
  const plain = unescapeText(text);
  return plain === undefined
    ? refuse('bad-argument', 'a backslash begins \\\\, \\n, \\r, \\t, \\xHH or \\uHHHH')
    : { kind: 'set', id, value: { kind: 'physical', text: plain } };
}

function parseScreen([size, page, ...more]: readonly string[], refuse: Refuse): Command | CommandError {
  if (size === undefined) return { kind: 'screen', columns: 80, rows: 24, page: 1 };
  if (more.length > 0) return refuse('extra-argument', 'screen takes a size and a page');
  const [, columns, rows] = /^(\d{1,4})x(\d{1,4})$/.exec(size) ?? [];
  if (columns === undefined || rows === undefined) return refuse('bad-argument', 'a size is COLUMNSxROWS: 40x30');
  const { columns: wide, rows: high } = screenLimits;
  if (!within(Number(columns), wide) || !within(Number(rows), high)) {
    return refuse(
      'bad-argument',
      `a screen has ${wide.min} to ${wide.max} columns and ${high.min} to ${high.max} rows`,
    );
  }
  if (page !== undefined && !/^[1-9]\d{0,3}$/.test(page)) return refuse('bad-argument', 'pages count from 1');
  return { kind: 'screen', columns: Number(columns), rows: Number(rows), page: Number(page ?? 1) };
}

function within(value: number, { min, max }: { readonly min: number; readonly max: number }): boolean {
  return value >= min && value <= max;
}

function words(text: string): string[] {
  return text.split(/[ \t]+/).filter((word) => word !== '');
}
