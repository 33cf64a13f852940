import type { Bytes } from '../base/bytes.ts';
import type { Cause } from './model.ts';
import { ConsoleWords, hexWord, idPattern } from './console-words.ts';
import { escapeText, escapeWord } from './escape.ts';

/**
 * The lines a board prints on its console (docs/console.md). The first word says what a line is. Times are the board's
 * own clock, milliseconds since power-up, modulo 2^32.
 */
export type ConsoleLine =
  /** One change of truth. */
  | {
      readonly kind: 'tell';
      readonly ms: number;
      readonly id: string;
      readonly value: Bytes;
      readonly cause: Cause;
    }
  /** Something else that happened. */
  | { readonly kind: 'note'; readonly ms: number; readonly event: ConsoleNote }
  /** The truth of one value as it was asked for. `text`: the physical form; a small board may leave it out. */
  | {
      readonly kind: 'value';
      readonly ms: number;
      readonly id: string;
      readonly value: Bytes;
      readonly text: string | undefined;
    }
  | {
      readonly kind: 'client';
      readonly client: number;
      readonly peer: string;
      /** When it connected, on the board's clock. */
      readonly since: number;
      readonly mtu: number;
      readonly security: SecurityWord;
      readonly subscriptions: readonly { readonly id: string; readonly mode: SubscriptionWord }[];
    }
  | { readonly kind: 'hash'; readonly specification: Bytes; readonly onAir: Bytes }
  | { readonly kind: 'time'; readonly ms: number }
  | { readonly kind: 'screen'; readonly text: string }
  | { readonly kind: 'help'; readonly text: string }
  /** The last line of an answer: the command was carried out. */
  | { readonly kind: 'done'; readonly command: string }
  /** The last line of an answer: the command was refused, and nothing changed. */
  | {
      readonly kind: 'error';
      readonly command: string;
      readonly reason: ErrorWord;
      readonly message: string;
    };

export type ConsoleNote =
  /** Power-up; `hash` as the specification prints it. A host that sees it knows that the board was reset. */
  | { readonly kind: 'start'; readonly hash: Bytes }
  | { readonly kind: 'advertising'; readonly on: boolean }
  | { readonly kind: 'connected'; readonly client: number; readonly peer: string }
  | { readonly kind: 'disconnected'; readonly client: number; readonly how: 'lost' | 'terminated' }
  | { readonly kind: 'secured'; readonly client: number; readonly security: SecurityWord }
  | {
      readonly kind: 'subscribed';
      readonly client: number;
      readonly id: string;
      readonly mode: SubscriptionWord | 'off';
    }
  /** A client's access to a value was answered with the ATT error `code`. */
  | {
      readonly kind: 'refused';
      readonly client: number;
      readonly id: string;
      readonly access: 'read' | 'write';
      readonly code: number;
    }
  /** A failsafe value is due at `due` on the board's clock. */
  | { readonly kind: 'armed'; readonly id: string; readonly due: number }
  /** A client wrote the value before its failsafe was due. */
  | { readonly kind: 'disarmed'; readonly id: string }
  /** So many lines could not be printed in time since the last such note: what was told is not the whole truth. */
  | { readonly kind: 'lost'; readonly count: number }
  /** The simulated world made a mistake of its own and stands still from now on. */
  | { readonly kind: 'rig-stopped'; readonly message: string };

export type SecurityWord = 'open' | 'encrypted' | 'authenticated' | 'secure-connections';
export type SubscriptionWord = 'notify' | 'indicate' | 'both';

/** Why a command was refused. */
export type ErrorWord = (typeof errorWords)[number];

const errorWords = [
  'unknown-command',
  'unknown-id',
  'missing-argument',
  'extra-argument',
  'bad-argument',
  'no-client',
  'line-too-long',
  'not-text',
  'length',
  'encoding',
  'range',
  'type',
] as const;
const causes: readonly Cause[] = ['start', 'rig', 'air', 'console', 'failsafe'];
const securityWords: readonly SecurityWord[] = ['open', 'encrypted', 'authenticated', 'secure-connections'];
const subscriptionWords: readonly SubscriptionWord[] = ['notify', 'indicate', 'both'];

/** Longest line a board prints, octets of UTF-8; a reader gives up a line that grows longer. */
export const longestConsoleLine = 4096;

/** The line as it is sent, without its line end. */
export function printConsoleLine(line: ConsoleLine): string {
  switch (line.kind) {
    case 'tell':
      return `tell ${line.ms} ${line.id} ${hexWord(line.value)} ${line.cause}`;
    case 'note':
      return `note ${line.ms} ${printNote(line.event)}`;
    case 'value': {
      const text = line.text === undefined ? '' : ` ${escapeText(line.text)}`;
      return `value ${line.ms} ${line.id} ${hexWord(line.value)}${text}`;
    }
    case 'client': {
      const subscriptions = line.subscriptions.map(({ id, mode }) => `${id}:${mode}`).join(',');
      const peer = escapeWord(line.peer);
      return `client ${line.client} ${peer} ${line.since} ${line.mtu} ${line.security} ${subscriptions || '-'}`;
    }
    case 'hash':
      return `hash ${hexWord(line.specification)} ${hexWord(line.onAir)}`;
    case 'time':
      return `time ${line.ms}`;
    case 'screen':
    case 'help':
      return `${line.kind} ${escapeText(line.text)}`;
    case 'done':
      return `done ${line.command}`;
    case 'error':
      return `error ${line.command} ${line.reason} ${escapeText(line.message)}`;
  }
}

function printNote(note: ConsoleNote): string {
  switch (note.kind) {
    case 'start':
      return `start ${hexWord(note.hash)}`;
    case 'advertising':
      return `advertising ${note.on ? 'on' : 'off'}`;
    case 'connected':
      return `connected ${note.client} ${escapeWord(note.peer)}`;
    case 'disconnected':
      return `disconnected ${note.client} ${note.how}`;
    case 'secured':
      return `secured ${note.client} ${note.security}`;
    case 'subscribed':
      return `subscribed ${note.client} ${note.id} ${note.mode}`;
    case 'refused':
      return `refused ${note.client} ${note.id} ${note.access} ${note.code.toString(16).padStart(2, '0')}`;
    case 'armed':
      return `armed ${note.id} ${note.due}`;
    case 'disarmed':
      return `disarmed ${note.id}`;
    case 'lost':
      return `lost ${note.count}`;
    case 'rig-stopped':
      return `rig-stopped ${escapeText(note.message)}`;
  }
}

/**
 * Reads one line of a board's console, without its line end.
 *
 * @returns `undefined` for anything that is no whole line of the protocol: noise, half a line, a boot message. Never throws.
 */
export function parseConsoleLine(line: string): ConsoleLine | undefined {
  if (line.length > longestConsoleLine) return undefined;
  const words = new ConsoleWords(line);
  const result = parseKind(words);
  return words.failed ? undefined : result;
}

function parseKind(words: ConsoleWords): ConsoleLine | undefined {
  switch (words.next()) {
    case 'tell':
      return words.end({
        kind: 'tell',
        ms: words.count(),
        id: words.id(),
        value: words.hex(),
        cause: words.oneOf(causes),
      });
    case 'note':
      return { kind: 'note', ms: words.count(), event: parseNote(words) };
    case 'value':
      return { kind: 'value', ms: words.count(), id: words.id(), value: words.hex(), text: words.restOrNothing() };
    case 'client':
      return words.end({
        kind: 'client',
        client: words.count(),
        peer: words.escaped(),
        since: words.count(),
        mtu: words.count(),
        security: words.oneOf(securityWords),
        subscriptions: parseSubscriptions(words),
      });
    case 'hash':
      return words.end({ kind: 'hash', specification: words.hex(), onAir: words.hex() });
    case 'time':
      return words.end({ kind: 'time', ms: words.count() });
    case 'screen':
      return { kind: 'screen', text: words.restOrNothing() ?? '' };
    case 'help':
      return { kind: 'help', text: words.rest() };
    case 'done':
      return words.end({ kind: 'done', command: words.next() });
    case 'error':
      return { kind: 'error', command: words.next(), reason: words.oneOf(errorWords), message: words.rest() };
    default:
      return undefined;
  }
}

function parseSubscriptions(words: ConsoleWords): Extract<ConsoleLine, { kind: 'client' }>['subscriptions'] {
  const word = words.next();
  if (word === '-') return [];
  return word.split(',').map((part) => {
    const [id = '', mode = '', ...more] = part.split(':');
    const known = subscriptionWords.find((candidate) => candidate === mode);
    if (!idPattern.test(id) || known === undefined || more.length > 0) words.fail();
    return { id, mode: known ?? 'notify' };
  });
}

function parseNote(words: ConsoleWords): ConsoleNote {
  switch (words.next()) {
    case 'start':
      return words.end({ kind: 'start', hash: words.hex() });
    case 'advertising':
      return words.end({ kind: 'advertising', on: words.oneOf(['on', 'off']) === 'on' });
    case 'connected':
      return words.end({ kind: 'connected', client: words.count(), peer: words.escaped() });
    case 'disconnected':
      return words.end({
        kind: 'disconnected',
        client: words.count(),
        how: words.oneOf<'lost' | 'terminated'>(['lost', 'terminated']),
      });
    case 'secured':
      return words.end({ kind: 'secured', client: words.count(), security: words.oneOf(securityWords) });
    case 'subscribed':
      return words.end({
        kind: 'subscribed',
        client: words.count(),
        id: words.id(),
        mode: words.oneOf<SubscriptionWord | 'off'>([...subscriptionWords, 'off']),
      });
    case 'refused':
      return words.end({
        kind: 'refused',
        client: words.count(),
        id: words.id(),
        access: words.oneOf<'read' | 'write'>(['read', 'write']),
        code: words.octet(),
      });
    case 'armed':
      return words.end({ kind: 'armed', id: words.id(), due: words.count() });
    case 'disarmed':
      return words.end({ kind: 'disarmed', id: words.id() });
    case 'lost':
      return words.end({ kind: 'lost', count: words.count() });
    case 'rig-stopped':
      return { kind: 'rig-stopped', message: words.rest() };
    default:
      words.fail();
      return { kind: 'rig-stopped', message: '' };
  }
}
