import type { Bytes } from '../base/bytes.ts';

/** A decoded text, or the offset of the first octet (for UTF-16: of the first unit) at fault and what is wrong there. */
export type DecodedText =
  { readonly ok: true; readonly text: string } | { readonly ok: false; readonly offset: number; readonly why: string };

const replacement = 0xfffd;

/**
 * The text as UTF-8 octets, RFC 3629 section 3. No byte order mark, no terminator.
 *
 * A lone surrogate has no UTF-8 form and comes out as U+FFFD; where that must be refused, ask {@link loneSurrogate}
 * first.
 */
export function encodeUtf8(text: string): Bytes {
  const octets: number[] = [];
  for (const character of text) {
    let code = character.codePointAt(0) ?? replacement;
    if (code >= 0xd800 && code <= 0xdfff) code = replacement;
    if (code < 0x80) octets.push(code);
    else if (code < 0x800) octets.push(0xc0 | (code >> 6), tail(code));
    else if (code < 0x10000) octets.push(0xe0 | (code >> 12), tail(code >> 6), tail(code));
    else octets.push(0xf0 | (code >> 18), tail(code >> 12), tail(code >> 6), tail(code));
  }
  return Uint8Array.from(octets);
}

/**
 * Decodes strictly, RFC 3629 section 4: overlong forms, surrogates, values above U+10FFFF and cut sequences are errors.
 * A byte order mark stays in the text.
 */
export function decodeUtf8(bytes: Bytes): DecodedText {
  const parts: string[] = [];
  let offset = 0;
  while (offset < bytes.length) {
    const lead = bytes[offset] ?? 0;
    if (lead < 0x80) {
      parts.push(String.fromCharCode(lead));
      offset += 1;
      continue;
    }
    const length = sequenceLength(lead);
    if (length === undefined) return { ok: false, offset, why: `${hex(lead)} starts no character` };
    let code = lead & (0x7f >> length);
    for (let i = 1; i < length; i++) {
      const octet = bytes[offset + i];
      if (octet === undefined)
        return { ok: false, offset, why: `the text ends within a character of ${length} octets` };
      const bounds = i === 1 ? secondOctet(lead) : anyTail;
      if (octet < bounds.min || octet > bounds.max) {
        return { ok: false, offset, why: `${hex(octet)} cannot follow ${hex(bytes[offset + i - 1] ?? 0)}` };
      }
      code = (code << 6) | (octet & 0x3f);
    }
    parts.push(String.fromCodePoint(code));
    offset += length;
  }
  return { ok: true, text: parts.join('') };
}

/**
 * At most `max` octets from the start, never ending within a code point: up to three octets less than `max`. Octets
 * that are no UTF-8 are cut at `max`.
 */
export function truncateUtf8(bytes: Bytes, max: number): Bytes {
  if (bytes.length <= max) return bytes;
  const limit = Math.max(0, max);
  for (let cut = limit; cut >= 0 && cut > limit - 4; cut--) {
    if (!isTail(bytes[cut] ?? 0)) return bytes.slice(0, cut);
  }
  return bytes.slice(0, limit);
}

/** Index of the first UTF-16 unit that is half of a pair without its other half; `undefined` for a well-formed text. */
export function loneSurrogate(text: string): number | undefined {
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    if (unit < 0xd800 || unit > 0xdfff) continue;
    const next = text.charCodeAt(i + 1);
    if (unit > 0xdbff || !(next >= 0xdc00 && next <= 0xdfff)) return i;
    i += 1;
  }
  return undefined;
}

const anyTail = { min: 0x80, max: 0xbf };

/** Octets of a character by its first one; C0, C1 and F5 to FF never occur. */
function sequenceLength(lead: number): number | undefined {
  if (lead >= 0xc2 && lead <= 0xdf) return 2;
  if (lead >= 0xe0 && lead <= 0xef) return 3;
  if (lead >= 0xf0 && lead <= 0xf4) return 4;
  return undefined;
}

/** The table of RFC 3629 section 4: narrower second octets keep out overlong forms, surrogates and what is too high. */
function secondOctet(lead: number): { min: number; max: number } {
  if (lead === 0xe0) return { min: 0xa0, max: 0xbf };
  if (lead === 0xed) return { min: 0x80, max: 0x9f };
  if (lead === 0xf0) return { min: 0x90, max: 0xbf };
  if (lead === 0xf4) return { min: 0x80, max: 0x8f };
  return anyTail;
}

function tail(bits: number): number {
  return 0x80 | (bits & 0x3f);
}

function isTail(octet: number): boolean {
  return (octet & 0xc0) === 0x80;
}

function hex(octet: number): string {
  return `0x${octet.toString(16).padStart(2, '0')}`;
}
