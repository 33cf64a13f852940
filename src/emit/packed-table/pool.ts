import { bug } from '../../base/bug.ts';
import { toHex, type Bytes } from '../../base/bytes.ts';

/** Names a constant of a pool. */
export type Constant = { readonly bytes: Bytes };

/**
 * Constants that share their octets: one that occurs within another costs nothing. First all are added, then they are
 * laid out, then their offsets can be asked for.
 */
export class Pool {
  readonly #constants = new Map<string, Constant>();
  #offsets: ReadonlyMap<Constant, number> | undefined;

  add(bytes: Bytes): Constant {
    const key = toHex(bytes);
    const known = this.#constants.get(key);
    if (known !== undefined) return known;
    bug(this.#offsets === undefined, 'the pool is laid out already');
    const constant = { bytes };
    this.#constants.set(key, constant);
    return constant;
  }

  /** Places the constants, the longest first, and gives the pool's octets. */
  layOut(): Bytes {
    const longestFirst = [...this.#constants.values()].sort((a, b) => b.bytes.length - a.bytes.length);
    const offsets = new Map<Constant, number>();
    // As Latin-1 text, so that the search within is the language's own.
    let text = '';
    for (const constant of longestFirst) {
      const own = latin1(constant.bytes);
      const found = text.indexOf(own);
      offsets.set(constant, found < 0 ? text.length : found);
      if (found < 0) text += own;
    }
    this.#offsets = offsets;
    return Uint8Array.from(text, (character) => character.charCodeAt(0));
  }

  offset(constant: Constant): number {
    const offset = this.#offsets?.get(constant);
    bug(offset !== undefined, 'the constant is not in this pool, or the pool is not laid out');
    return offset;
  }
}

function latin1(bytes: Bytes): string {
  let text = '';
  for (const octet of bytes) text += String.fromCharCode(octet);
  return text;
}
