import { readU16le, toHex, type Bytes } from '../../base/bytes.ts';
import { shortUuidValue, uuidBytes, type Uuid } from '../../base/uuid.ts';

/** Where the slot stands in a 128-bit UUID, counted from the least significant octet. */
const slotAt = 12;

/** A UUID as a packed table keeps it. */
export type PackedUuid = {
  /** 0: `slot` is a 16-bit UUID; else the number of the base, from 1. */
  readonly base: number;
  readonly slot: number;
};

/** The bases that 128-bit UUIDs have in common: all octets but two. */
export class Bases {
  readonly #numbers = new Map<string, number>();
  readonly octets: Bytes[] = [];

  pack(uuid: Uuid): PackedUuid {
    const short = shortUuidValue(uuid);
    if (short !== undefined) return { base: 0, slot: short };
    const base = Uint8Array.from(uuidBytes(uuid));
    const slot = readU16le(base, slotAt) ?? 0;
    base.fill(0, slotAt, slotAt + 2);
    const key = toHex(base);
    let number = this.#numbers.get(key);
    if (number === undefined) {
      this.octets.push(base);
      number = this.octets.length;
      this.#numbers.set(key, number);
    }
    return { base: number, slot };
  }
}
