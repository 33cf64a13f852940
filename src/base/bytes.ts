/** Octets as they stand in a PDU or an attribute value, first octet first. Never modified after they are handed on. */
export type Bytes = Uint8Array;

export const noBytes: Bytes = new Uint8Array(0);

/** Two lower-case hex digits an octet, no separator: `0a0300002a`. */
export function toHex(bytes: Bytes, separator = ''): string {
  const octets: string[] = [];
  for (const octet of bytes) octets.push(octet.toString(16).padStart(2, '0'));
  return octets.join(separator);
}

/**
 * Reads octets of two hex digits, upper or lower case; white space, `:` or `-` may stand between and around octets.
 *
 * @returns `undefined` when a character is no hex digit or an octet has only one
 */
export function fromHex(text: string): Bytes | undefined {
  const bytes = new Uint8Array(text.length >> 1);
  let length = 0;
  for (let i = 0; i < text.length; i++) {
    if (/[\s:-]/.test(text.charAt(i))) continue;
    const octet = text.slice(i, i + 2);
    if (!/^[0-9a-fA-F]{2}$/.test(octet)) return undefined;
    bytes[length++] = Number.parseInt(octet, 16);
    i += 1;
  }
  return bytes.slice(0, length);
}

/** All parts one behind the other, as a new array. */
export function concat(...parts: readonly (Bytes | readonly number[])[]): Bytes {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let offset = 0;
  for (const part of parts) {
    whole.set(part, offset);
    offset += part.length;
  }
  return whole;
}

export function equalBytes(a: Bytes, b: Bytes): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/** The same octets, last first. */
export function reversed(bytes: Bytes): Bytes {
  return Uint8Array.from(bytes).reverse();
}

/** One octet, 0..255. */
export function u8(value: number): Bytes {
  return Uint8Array.of(value & 0xff);
}

/** Two octets, least significant first, 0..65535. */
export function u16le(value: number): Bytes {
  return Uint8Array.of(value & 0xff, (value >>> 8) & 0xff);
}

/** Four octets, least significant first, 0..2^32-1. */
export function u32le(value: number): Bytes {
  return Uint8Array.of(value & 0xff, (value >>> 8) & 0xff, (value >>> 16) & 0xff, (value >>> 24) & 0xff);
}

/** The unsigned 16-bit number at `offset`, least significant octet first; `undefined` past the end. */
export function readU16le(bytes: Bytes, offset: number): number | undefined {
  const low = bytes[offset];
  const high = bytes[offset + 1];
  return low === undefined || high === undefined ? undefined : low | (high << 8);
}

/** The unsigned integer made of all octets, least significant first; of any length. */
export function bigFromLe(bytes: Bytes): bigint {
  let value = 0n;
  for (let i = bytes.length - 1; i >= 0; i--) value = (value << 8n) | BigInt(bytes[i] ?? 0);
  return value;
}

/** The lowest `length` octets of `value`, least significant first; negative numbers come out in two's complement. */
export function bigToLe(value: bigint, length: number): Bytes {
  const bytes = new Uint8Array(length);
  let rest = BigInt.asUintN(length * 8, value);
  for (let i = 0; i < length; i++) {
    bytes[i] = Number(rest & 0xffn);
    rest >>= 8n;
  }
  return bytes;
}
