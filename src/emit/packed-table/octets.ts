import { bug } from '../../base/bug.ts';
import type { Bytes } from '../../base/bytes.ts';
import type { Pool, Constant } from './pool.ts';

/** Octets under construction, least significant first. References to the pool are filled in when its layout is known. */
export class Octets {
  readonly #octets: number[] = [];
  readonly #references: { readonly at: number; readonly constant: Constant }[] = [];

  get length(): number {
    return this.#octets.length;
  }

  u8(...values: readonly number[]): this {
    for (const value of values) this.#octets.push(value & 0xff);
    return this;
  }

  u16(...values: readonly number[]): this {
    for (const value of values) this.u8(value, value >> 8);
    return this;
  }

  u32(value: number): this {
    return this.u16(value, value >>> 16);
  }

  /** @param value 0..2^40-1 */
  u40(value: number): this {
    return this.u32(value % 2 ** 32).u8(Math.floor(value / 2 ** 32));
  }

  /** Groups of 7 bits, lowest first; bit 7 says that more follow. */
  variable(value: number): this {
    let rest = value;
    while (rest > 0x7f) {
      this.u8(0x80 | (rest & 0x7f));
      rest >>>= 7;
    }
    return this.u8(rest);
  }

  bytes(bytes: Bytes): this {
    for (const octet of bytes) this.#octets.push(octet);
    return this;
  }

  /** The pool offset of a constant. */
  pool(constant: Constant): this {
    this.#references.push({ at: this.#octets.length, constant });
    return this.u16(0);
  }

  append(other: Octets): this {
    for (const { at, constant } of other.#references) {
      this.#references.push({ at: at + this.#octets.length, constant });
    }
    for (const octet of other.#octets) this.#octets.push(octet);
    return this;
  }

  /** @param pool laid out; needed for references only */
  finish(pool?: Pool): Bytes {
    const bytes = Uint8Array.from(this.#octets);
    for (const { at, constant } of this.#references) {
      bug(pool !== undefined, 'references need a pool');
      const offset = pool.offset(constant);
      bytes[at] = offset & 0xff;
      bytes[at + 1] = offset >> 8;
    }
    return bytes;
  }
}
