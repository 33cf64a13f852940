import { fromHex, reversed, toHex, type Bytes } from './bytes.ts';
import { bug } from './bug.ts';

declare const brand: unique symbol;

/**
 * A UUID: four upper-case hex digits for a 16-bit one (`2A6E`), else 36 characters in lower case with hyphens. One
 * UUID has exactly one such text, so texts can be compared.
 */
export type Uuid = string & { readonly [brand]: 'uuid' };

/** The tail of the Bluetooth Base UUID, Core Vol 3 Part B 2.5.1. */
const baseTail = '-0000-1000-8000-00805f9b34fb';

const longForm = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/** @param value 0..0xFFFF */
export function uuid16(value: number): Uuid {
  bug(Number.isInteger(value) && value >= 0 && value <= 0xffff, `no 16-bit UUID: ${value}`);
  return value.toString(16).toUpperCase().padStart(4, '0') as Uuid;
}

/**
 * Reads `180F`, `0x180F` or the 36-character form, in either case. A long form on the Bluetooth Base UUID comes out
 * short.
 *
 * @returns `undefined` for anything else
 */
export function parseUuid(text: string): Uuid | undefined {
  const word = text.trim().toLowerCase();
  const short = /^(?:0x)?([0-9a-f]{4})$/.exec(word);
  if (short?.[1] !== undefined) return short[1].toUpperCase() as Uuid;
  if (!longForm.test(word)) return undefined;
  if (word.startsWith('0000') && word.endsWith(baseTail)) return word.slice(4, 8).toUpperCase() as Uuid;
  return word as Uuid;
}

export function isShortUuid(uuid: Uuid): boolean {
  return uuid.length === 4;
}

/** The number of a 16-bit UUID; `undefined` for a 128-bit one. */
export function shortUuidValue(uuid: Uuid): number | undefined {
  return isShortUuid(uuid) ? Number.parseInt(uuid, 16) : undefined;
}

/** The 36-character form of any UUID: a 16-bit one is value * 2^96 + base (Core Vol 3 Part B 2.5.1). */
export function longUuid(uuid: Uuid): string {
  return isShortUuid(uuid) ? `0000${uuid.toLowerCase()}${baseTail}` : uuid;
}

/** 2 or 16 octets, least significant first, as UUIDs stand in PDUs and advertising data. */
export function uuidBytes(uuid: Uuid): Bytes {
  return reversed(hexBytes(uuid));
}

/** 2 or 16 octets from a PDU, least significant first; `undefined` for any other length. */
export function uuidFromBytes(bytes: Bytes): Uuid | undefined {
  const hex = toHex(reversed(bytes));
  if (bytes.length === 2) return parseUuid(hex);
  if (bytes.length !== 16) return undefined;
  return parseUuid(`${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`);
}

/**
 * The base with `slot` in its third and fourth octet (counted from the left of the printed form).
 *
 * @param slot 0..0xFFFF
 */
export function uuidInSlot(base: Uuid, slot: number): Uuid {
  const long = longUuid(base);
  const uuid = parseUuid(long.slice(0, 4) + slot.toString(16).padStart(4, '0') + long.slice(8));
  bug(uuid !== undefined, `no slot ${slot} in ${base}`);
  return uuid;
}

function hexBytes(uuid: Uuid): Bytes {
  const bytes = fromHex(uuid);
  bug(bytes !== undefined, `no UUID: ${uuid}`);
  return bytes;
}
