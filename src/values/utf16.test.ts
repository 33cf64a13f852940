import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toHex } from '../base/bytes.ts';
import { decodeUtf16, encodeUtf16 } from './utf16.ts';

describe('UTF-16', () => {
  it('puts the least significant octet of each unit first', () => {
    // RFC 2781 section 3.1: U+12345 is D808 DF45.
    expect(toHex(encodeUtf16('\u{12345}='))).toBe('08d845df3d00');
    expect(toHex(encodeUtf16(''))).toBe('');
  });

  it('agrees with the strict decoder of the platform on any octets', () => {
    const platform = new TextDecoder('utf-16le', { fatal: true, ignoreBOM: true });
    const nearly = fc
      .array(fc.constantFrom(0xd83c, 0xdf0a, 0x41, 0xfeff, 0xd800, 0xdfff, 0xe000))
      .map((units) => Uint8Array.from(units.flatMap((unit) => [unit & 0xff, unit >> 8])));
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array(), nearly), (bytes) => {
        const decoded = decodeUtf16(bytes);
        let expected: string | undefined;
        try {
          expected = platform.decode(bytes);
        } catch {
          expected = undefined;
        }
        expect(decoded.ok ? decoded.text : undefined).toBe(expected);
        if (decoded.ok) expect(encodeUtf16(decoded.text)).toEqual(bytes);
      }),
    );
  });

  it('tells the octet that is at fault', () => {
    expect(decodeUtf16(Uint8Array.of(0x41, 0x00, 0x3c, 0xd8, 0x41, 0x00))).toEqual({
      ok: false,
      offset: 2,
      why: '0xd83c is half of a surrogate pair',
    });
    expect(decodeUtf16(Uint8Array.of(0x41, 0x00, 0x42))).toMatchObject({ ok: false, offset: 2 });
  });
});
