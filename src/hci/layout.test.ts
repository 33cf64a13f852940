import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromHex, toHex } from '../base/bytes.ts';
import {
  address,
  counted,
  decodeLayout,
  encodeLayout,
  i8,
  legacyData,
  list,
  octets,
  rest,
  u16,
  u24,
  u32,
  u8,
} from './layout.ts';

describe('layouts', () => {
  const layout = {
    a: u8,
    b: u16,
    c: u24,
    d: u32,
    e: i8,
    f: address,
    g: octets(2),
    h: counted,
    i: list({ x: u8, y: i8 }),
    j: rest,
  };

  it('lie one behind the other, least significant octet first', () => {
    const values = {
      a: 0x01,
      b: 0x0203,
      c: 0x040506,
      d: 0xf7_08_09_0a,
      e: -2,
      f: 'c1:22:33:44:55:66',
      g: Uint8Array.of(1, 2),
      h: Uint8Array.of(3),
      i: [{ x: 4, y: -5 }],
      j: Uint8Array.of(6, 7),
    };
    const expected =
      '01' + '0302' + '060504' + '0a0908f7' + 'fe' + '6655443322c1' + '0102' + '0103' + '0104fb' + '0607';
    expect(toHex(encodeLayout(layout, values))).toBe(expected);
    expect(decodeLayout(layout, fromHex(expected)!)).toEqual(values);
  });

  it('are refused when cut, and read again when whole', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 60 }), (bytes) => {
        const values = decodeLayout(layout, bytes);
        if (values !== undefined) expect(encodeLayout(layout, values)).toEqual(bytes);
      }),
      { numRuns: 300 },
    );
    expect(decodeLayout({ a: u16 }, Uint8Array.of(1))).toBeUndefined();
    expect(decodeLayout({ a: u16 }, Uint8Array.of(1, 2, 3))).toBeUndefined();
    expect(decodeLayout({ a: list({ x: u16 }) }, Uint8Array.of(255, 1, 2))).toBeUndefined();
  });

  // Core Vol 4 Part E 7.8.7: always 31 octets behind the length.
  it('of advertising data are 32 octets whatever it holds', () => {
    const whole = encodeLayout({ data: legacyData }, { data: Uint8Array.of(2, 1, 6) });
    expect(whole.length).toBe(32);
    expect(decodeLayout({ data: legacyData }, whole)).toEqual({ data: Uint8Array.of(2, 1, 6) });
    whole[0] = 32;
    expect(decodeLayout({ data: legacyData }, whole)).toBeUndefined();
  });
});
