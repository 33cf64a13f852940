import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bigFromLe,
  bigToLe,
  concat,
  equalBytes,
  fromHex,
  noBytes,
  readU16le,
  reversed,
  toHex,
  u16le,
  u32le,
  u8,
} from './bytes.ts';

describe('hex', () => {
  it.each([
    ['0a0300002a', '0a0300002a'],
    ['0A 03 00', '0a0300'],
    ['00:11-22\t33\n44', '0011223344'],
    ['  ', ''],
    ['', ''],
  ])('reads %j', (text, hex) => {
    expect(toHex(fromHex(text)!)).toBe(hex);
  });

  it.each(['0', '0a0', 'a b', '0 a', '0x0a', 'zz', '0a,0b', '０a'])('does not read %j', (text) => {
    expect(fromHex(text)).toBeUndefined();
  });

  it('agrees with Buffer both ways', () => {
    fc.assert(
      fc.property(fc.uint8Array(), (bytes) => {
        const hex = Buffer.from(bytes).toString('hex');
        expect(toHex(bytes)).toBe(hex);
        expect(fromHex(hex)).toEqual(bytes);
        expect(fromHex(toHex(bytes, ' '))).toEqual(bytes);
      }),
    );
  });
});

describe('integers', () => {
  it('orders octets as DataView does with little-endian', () => {
    fc.assert(
      fc.property(fc.nat(0xffffffff), (value) => {
        const view = new DataView(new ArrayBuffer(4));
        view.setUint32(0, value, true);
        expect(u32le(value)).toEqual(new Uint8Array(view.buffer));
        view.setUint16(0, value & 0xffff, true);
        expect(u16le(value & 0xffff)).toEqual(new Uint8Array(view.buffer, 0, 2));
        expect(readU16le(u32le(value), 0)).toBe(value & 0xffff);
        expect(u8(value)).toEqual(Uint8Array.of(value & 0xff));
      }),
    );
  });

  it('has no 16-bit number past the end', () => {
    expect(readU16le(Uint8Array.of(1, 2, 3), 1)).toBe(0x0302);
    expect(readU16le(Uint8Array.of(1, 2, 3), 2)).toBeUndefined();
    expect(readU16le(noBytes, 0)).toBeUndefined();
  });

  it('reads and writes 64 bits as DataView does', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: -(2n ** 63n), max: 2n ** 63n - 1n }), (value) => {
        const view = new DataView(new ArrayBuffer(8));
        view.setBigInt64(0, value, true);
        const bytes = new Uint8Array(view.buffer);
        expect(bigToLe(value, 8)).toEqual(bytes);
        expect(bigFromLe(bytes)).toBe(view.getBigUint64(0, true));
      }),
    );
  });

  it('goes from octets to an integer and back at any length', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 40 }), (bytes) => {
        expect(bigToLe(bigFromLe(bytes), bytes.length)).toEqual(bytes);
      }),
    );
  });
});

describe('rows of octets', () => {
  it('are joined, compared and reversed without touching the parts', () => {
    const part = Uint8Array.of(1, 2);
    const whole = concat(part, [3], noBytes, u16le(0x0504));
    expect(whole).toEqual(Uint8Array.of(1, 2, 3, 4, 5));
    expect(reversed(whole)).toEqual(Uint8Array.of(5, 4, 3, 2, 1));
    expect(whole).toEqual(Uint8Array.of(1, 2, 3, 4, 5));
    expect(equalBytes(part, Uint8Array.of(1, 2))).toBe(true);
    expect(equalBytes(part, Uint8Array.of(1, 3))).toBe(false);
    expect(equalBytes(part, whole)).toBe(false);
  });
});
