import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryCharacter } from '../../test/support/arbitrary-type.ts';
import { readVectors, vectorTests } from '../../test/support/read-vectors.ts';
import { fromHex, toHex } from '../base/bytes.ts';
import { decodeUtf8, encodeUtf8, loneSurrogate, truncateUtf8 } from './utf8.ts';

const strict = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
const anyText = fc.string({ unit: fc.nat(0xffff).map((unit) => String.fromCharCode(unit)), maxLength: 20 });
const wellFormed = fc.string({ unit: arbitraryCharacter });

/** Octets that are nearly UTF-8: pieces of characters and stray octets. */
const nearlyUtf8 = fc
  .array(
    fc.oneof(
      fc.string({ unit: arbitraryCharacter, minLength: 1, maxLength: 2 }).map((text) => new TextEncoder().encode(text)),
      fc.uint8Array({ minLength: 1, maxLength: 3 }),
      fc.constantFrom([0xed, 0xa0, 0x80], [0xf4, 0x90], [0xe0, 0x9f], [0xc0]).map((octets) => Uint8Array.from(octets)),
    ),
    { maxLength: 6 },
  )
  .map((parts) => Uint8Array.from(parts.flatMap((part) => [...part])));

/** `U+0041 U+2262`. */
function codePoints(text: string): string {
  return Array.from(text, (c) => `U+${c.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`).join(' ');
}

describe('check values', () => {
  const file = readVectors<string, string>(new URL('./vectors/utf8.json', import.meta.url));
  it.each(vectorTests(file))('$id: $group, $comment', ({ input, output }) => {
    const decoded = decodeUtf8(fromHex(input)!);
    expect(decoded.ok).toBe(output !== undefined);
    if (!decoded.ok) return;
    expect(codePoints(decoded.text)).toBe(output);
    expect(toHex(encodeUtf8(decoded.text))).toBe(input);
  });
});

describe('decoding', () => {
  it('agrees with the strict decoder of the platform on any octets', () => {
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array(), nearlyUtf8), (bytes) => {
        const decoded = decodeUtf8(bytes);
        let expected: string | undefined;
        try {
          expected = strict.decode(bytes);
        } catch {
          expected = undefined;
        }
        expect(decoded.ok ? decoded.text : undefined).toBe(expected);
      }),
      { numRuns: 300 },
    );
  });

  it('tells the octet that is at fault', () => {
    expect(decodeUtf8(Uint8Array.of(0x41, 0xc3, 0xa9, 0xff))).toEqual({
      ok: false,
      offset: 3,
      why: '0xff starts no character',
    });
    expect(decodeUtf8(Uint8Array.of(0x41, 0xe2, 0x41))).toEqual({
      ok: false,
      offset: 1,
      why: '0x41 cannot follow 0xe2',
    });
    expect(decodeUtf8(Uint8Array.of(0xf0, 0x9f))).toEqual({
      ok: false,
      offset: 0,
      why: 'the text ends within a character of 4 octets',
    });
  });

  it('takes what stands before the fault for good', () => {
    fc.assert(
      fc.property(nearlyUtf8, (bytes) => {
        const decoded = decodeUtf8(bytes);
        if (!decoded.ok) expect(decodeUtf8(bytes.slice(0, decoded.offset)).ok).toBe(true);
      }),
    );
  });
});

describe('encoding', () => {
  it('agrees with the encoder of the platform, which also writes U+FFFD for half a pair', () => {
    fc.assert(
      fc.property(fc.oneof(anyText, wellFormed), (text) => {
        expect(encodeUtf8(text)).toEqual(new TextEncoder().encode(text));
      }),
    );
  });

  it('takes long texts', () => {
    const text = 'é'.repeat(300_000);
    expect(encodeUtf8(text)).toHaveLength(600_000);
  });
});

describe('half pairs', () => {
  it('are found where they are', () => {
    expect(loneSurrogate('ab')).toBeUndefined();
    expect(loneSurrogate('\ud83c\udf0a')).toBeUndefined();
    expect(loneSurrogate('a\ud83c')).toBe(1);
    expect(loneSurrogate('\udf0aa')).toBe(0);
    expect(loneSurrogate('\ud83c\ud83c\udf0a')).toBe(0);
    expect(loneSurrogate('\ud83c\udf0a\udf0a')).toBe(2);
  });

  it('are in exactly the texts that the platform calls ill-formed', () => {
    fc.assert(
      fc.property(fc.oneof(anyText, wellFormed), (text) => {
        const roundTrip = new TextDecoder('utf-8', { ignoreBOM: true }).decode(new TextEncoder().encode(text));
        expect(loneSurrogate(text) === undefined).toBe(roundTrip === text);
      }),
    );
  });
});

describe('truncation', () => {
  it('never cuts a code point and never drops more than it must', () => {
    fc.assert(
      fc.property(wellFormed, fc.nat(40), (text, max) => {
        const cut = truncateUtf8(encodeUtf8(text), max);
        const decoded = decodeUtf8(cut);
        if (!decoded.ok) expect.unreachable('the cut is no UTF-8');
        else {
          expect(text.startsWith(decoded.text)).toBe(true);
          expect(cut.length).toBeLessThanOrEqual(max);
          const [next] = Array.from(text.slice(decoded.text.length));
          if (next !== undefined) expect(cut.length + encodeUtf8(next).length).toBeGreaterThan(max);
        }
      }),
    );
  });

  it('cuts octets that are no text at the limit', () => {
    expect(truncateUtf8(new Uint8Array(10).fill(0x80), 7)).toHaveLength(7);
    expect(truncateUtf8(new Uint8Array(10).fill(0xff), 7)).toHaveLength(7);
    expect(truncateUtf8(Uint8Array.of(0x80, 0x80), 1)).toHaveLength(1);
    // No character has so many octets that follow.
    expect(truncateUtf8(Uint8Array.of(0x41, 0x80, 0x80, 0x80, 0x80, 0x80), 4)).toHaveLength(4);
  });

  it('of nothing, or to nothing, is nothing', () => {
    expect(truncateUtf8(new Uint8Array(0), 3)).toHaveLength(0);
    expect(truncateUtf8(encodeUtf8('é'), 0)).toHaveLength(0);
    expect(truncateUtf8(encodeUtf8('é'), -1)).toHaveLength(0);
    expect(truncateUtf8(encodeUtf8('é'), 1)).toHaveLength(0);
  });
});
