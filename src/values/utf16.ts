import type { Bytes } from '../base/bytes.ts';
import { loneSurrogate, type DecodedText } from './utf8.ts';

/** The text as UTF-16 units of two octets, least significant first, as GATT orders octets. No byte order mark. */
export function encodeUtf16(text: string): Bytes {
  const bytes = new Uint8Array(text.length * 2);
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    bytes[2 * i] = unit & 0xff;
    bytes[2 * i + 1] = unit >> 8;
  }
  return bytes;
}

/** Decodes strictly: an odd number of octets and lone surrogates are errors; `offset` counts octets. */
export function decodeUtf16(bytes: Bytes): DecodedText {
  if (bytes.length % 2 !== 0) {
    return { ok: false, offset: bytes.length - 1, why: 'the text ends within a unit of 2 octets' };
  }
  const units: string[] = [];
  for (let i = 0; i < bytes.length; i += 2)
    units.push(String.fromCharCode((bytes[i] ?? 0) | ((bytes[i + 1] ?? 0) << 8)));
  const text = units.join('');
  const lone = loneSurrogate(text);
  if (lone === undefined) return { ok: true, text };
  const unit = text.charCodeAt(lone).toString(16);
  return { ok: false, offset: 2 * lone, why: `0x${unit} is half of a surrogate pair` };
}
