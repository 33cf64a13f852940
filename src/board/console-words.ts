import { noBytes, toHex, type Bytes } from '../base/bytes.ts';
import { unescapeText, unescapeWord } from './escape.ts';

/** Takes a line apart word by word. After a mismatch it answers with dummies and `failed` is set. */
export class ConsoleWords {
  failed = false;
  #rest: string | undefined;

  constructor(line: string) {
    this.#rest = line;
  }

  fail(): void {
    this.failed = true;
  }

  /** The next word: one or more characters up to one blank or the end. */
  next(): string {
    const line = this.#rest;
    if (line === undefined) return this.#miss('');
    const blank = line.indexOf(' ');
    const word = blank < 0 ? line : line.slice(0, blank);
    this.#rest = blank < 0 ? undefined : line.slice(blank + 1);
    return word === '' ? this.#miss('') : word;
  }

  count(): number {
    const word = this.next();
    const value = Number(word);
    return /^(0|[1-9]\d{0,9})$/.test(word) && value <= 0xffff_ffff ? value : this.#miss(0);
  }

  octet(): number {
    const word = this.next();
    return /^[0-9a-f]{2}$/.test(word) ? Number.parseInt(word, 16) : this.#miss(0);
  }

  id(): string {
    const word = this.next();
    return idPattern.test(word) ? word : this.#miss('');
  }

  hex(): Bytes {
    return parseHexWord(this.next()) ?? this.#miss(noBytes);
  }

  escaped(): string {
    return unescapeWord(this.next()) ?? this.#miss('');
  }

  oneOf<T extends string>(choices: readonly T[]): T {
    const word = this.next();
    const choice = choices.find((candidate) => candidate === word) ?? choices[0];
    if (choice !== word) this.fail();
    return choice as T;
  }

  /** Everything behind the one blank that ended the last word, unescaped; it may be empty, but the blank must be there. */
  rest(): string {
    return this.restOrNothing() ?? this.#miss('');
  }

  restOrNothing(): string | undefined {
    if (this.#rest === undefined) return undefined;
    const text = unescapeText(this.#rest);
    this.#rest = undefined;
    return text ?? this.#miss('');
  }

  end<T>(result: T): T {
    if (this.#rest !== undefined) this.fail();
    return result;
  }

  #miss<T>(dummy: T): T {
    this.fail();
    return dummy;
  }
}

/** Ids of the contract language. */
export const idPattern = /^[a-z][a-z0-9-]{0,31}$/;

/** Lower-case hex digits, `-` for no octets. */
export function hexWord(value: Bytes): string {
  return value.length === 0 ? '-' : toHex(value);
}

/** @returns `undefined` unless `word` is `-` or whole octets in lower-case hex digits */
function parseHexWord(word: string): Bytes | undefined {
  if (word === '-') return noBytes;
  if (!/^(?:[0-9a-f]{2})+$/.test(word)) return undefined;
  const bytes = new Uint8Array(word.length / 2);
  for (let i = 0; i < bytes.length; i++) bytes[i] = Number.parseInt(word.slice(2 * i, 2 * i + 2), 16);
  return bytes;
}
