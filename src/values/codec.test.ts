import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { arbitraryType, arbitraryTyped } from '../../test/support/arbitrary-type.ts';
import { fromHex, toHex } from '../base/bytes.ts';
import { decode, encode, isFixedLength, lengthRange } from './codec.ts';
import type { Coded, StructType, ValueType } from './type.ts';

function struct(...types: ValueType[]): StructType {
  return { kind: 'struct', fields: types.map((type, i) => ({ id: `f${i}`, label: `F${i}`, type })) };
}

function codes(...values: (number | bigint)[]): Coded {
  return { kind: 'struct', fields: values.map((value) => ({ kind: 'integer', value: BigInt(value) })) };
}

function hexOf(type: ValueType, coded: Coded): string {
  const encoded = encode(type, coded);
  return encoded.ok ? toHex(encoded.value) : `refused: ${encoded.refusal.message}`;
}

function refusalOf(type: ValueType, hex: string): string {
  const decoded = decode(type, fromHex(hex)!);
  return decoded.ok ? 'taken' : `${decoded.refusal.reason} ${decoded.refusal.path}: ${decoded.refusal.message}`;
}

describe('any type', () => {
  it('gives back what it encodes', () => {
    fc.assert(
      fc.property(arbitraryTyped(), ({ type, coded }) => {
        const encoded = encode(type, coded);
        if (!encoded.ok) expect.unreachable(encoded.refusal.message);
        else {
          expect(decode(type, encoded.value)).toEqual({ ok: true, value: coded });
          const { min, max } = lengthRange(type);
          expect(encoded.value.length).toBeGreaterThanOrEqual(min);
          expect(encoded.value.length).toBeLessThanOrEqual(max);
          expect(isFixedLength(type)).toBe(min === max);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('takes any octets for a value or refuses them, and writes what it took', () => {
    const octetsFor = (type: ValueType) => {
      const { min, max } = lengthRange(type);
      return fc.oneof(fc.uint8Array({ minLength: min, maxLength: max }), fc.uint8Array({ maxLength: 40 }));
    };
    const typeAndOctets = arbitraryType().chain((type) => octetsFor(type).map((bytes) => ({ type, bytes })));
    fc.assert(
      fc.property(typeAndOctets, ({ type, bytes }) => {
        const decoded = decode(type, bytes);
        if (!decoded.ok) {
          expect(decoded.refusal.message).not.toBe('');
          return;
        }
        const encoded = encode(type, decoded.value);
        if (!encoded.ok) expect.unreachable(encoded.refusal.message);
        // A NaN loses its payload; all else comes out octet for octet.
        else if (!JSON.stringify(decoded.value, plain).includes('NaN')) expect(encoded.value).toEqual(bytes);
      }),
      { numRuns: 300 },
    );
  });

  it('refuses a coded value of another kind', () => {
    fc.assert(
      fc.property(arbitraryType(), arbitraryTyped(), (type, other) => {
        fc.pre(codedKind(type) !== other.coded.kind);
        expect(encode(type, other.coded)).toMatchObject({ ok: false, refusal: { reason: 'type', path: '' } });
      }),
    );
  });

  it('keeps no hold of the octets that it was given or gave', () => {
    const type: ValueType = { kind: 'bytes', minLength: 0, maxLength: 4 };
    const bytes = Uint8Array.of(1, 2);
    const decoded = decode(type, bytes);
    const encoded = encode(type, { kind: 'bytes', value: bytes });
    bytes[0] = 9;
    expect(decoded).toEqual({ ok: true, value: { kind: 'bytes', value: Uint8Array.of(1, 2) } });
    expect(encoded).toEqual({ ok: true, value: Uint8Array.of(1, 2) });
  });
});

/** The kind of a type's coded values. */
function codedKind(type: ValueType): Coded['kind'] {
  switch (type.kind) {
    case 'enum':
    case 'flags':
      return 'integer';
    case 'float':
      return type.format === 'float32' || type.format === 'float64' ? 'double' : 'medfloat';
    default:
      return type.kind;
  }
}

/** Makes NaN and big integers visible to JSON. */
function plain(_key: string, value: unknown): unknown {
  return typeof value === 'bigint' || (typeof value === 'number' && Number.isNaN(value)) ? String(value) : value;
}

describe('packed fields', () => {
  it('share octets, the first in the least significant bits', () => {
    // Mesh Model 1.1 section 1.5: 4-bit 0x6, 12-bit 0x987, 16-bit 0x1234.
    const type = struct(integer(false, 4), integer(false, 12), integer(false, 16));
    expect(hexOf(type, codes(0x6, 0x987, 0x1234))).toBe('76983412');
    expect(decode(type, fromHex('76983412')!)).toEqual({ ok: true, value: codes(0x6, 0x987, 0x1234) });
    expect(lengthRange(type)).toEqual({ min: 4, max: 4 });
  });

  it('may straddle octets', () => {
    const type = struct(
      integer(false, 12),
      integer(false, 12),
      integer(false, 2),
      integer(false, 4),
      integer(false, 2),
    );
    expect(hexOf(type, codes(0xabc, 0x123, 1, 0b1001, 2))).toBe('bc3a12a5');
    expect(hexOf(struct(integer(true, 12), integer(false, 4)), codes(-1, 0))).toBe('ff0f');
    expect(decode(struct(integer(true, 12), integer(false, 4)), fromHex('00f8')!)).toEqual({
      ok: true,
      value: codes(-2048, 15),
    });
  });

  it('leave bits of 0 before a field that starts on an octet, and at the end', () => {
    const type = struct(integer(false, 4), integer(false, 8), integer(false, 2));
    expect(hexOf(type, codes(5, 0xff, 3))).toBe('05ff03');
    expect(refusalOf(type, '05ff03')).toBe('taken');
    expect(refusalOf(type, '15ff03')).toBe('encoding : bits 4 to 7 of octet 0 hold 1 and must be 0');
    expect(refusalOf(type, '05ff83')).toBe('encoding : bits 2 to 7 of octet 2 hold 32 and must be 0');
  });

  it('lie as an integer of their whole width would, least significant octet first', () => {
    const widths = fc.array(fc.constantFrom<2 | 4 | 12>(2, 4, 12), { minLength: 1, maxLength: 12 });
    const fields = widths.chain((bits) =>
      fc.tuple(fc.constant(bits), fc.tuple(...bits.map((width) => fc.nat(2 ** width - 1)))),
    );
    fc.assert(
      fc.property(fields, ([bits, values]) => {
        let whole = 0n;
        let position = 0n;
        bits.forEach((width, i) => {
          whole |= BigInt(values[i]!) << position;
          position += BigInt(width);
        });
        const octets = Number((position + 7n) / 8n);
        const expected = whole
          .toString(16)
          .padStart(2 * octets, '0')
          .match(/../g)!
          .reverse()
          .join('');
        expect(hexOf(struct(...bits.map((width) => integer(false, width))), codes(...values))).toBe(expected);
      }),
    );
  });
});

describe('integers alone', () => {
  it('of 12 bits fill two octets with zeros or the sign', () => {
    expect(hexOf(integer(false, 12), { kind: 'integer', value: 0xabcn })).toBe('bc0a');
    expect(hexOf(integer(true, 12), { kind: 'integer', value: -2n })).toBe('feff');
    expect(refusalOf(integer(false, 12), 'bc1a')).toBe(
      'encoding : 0x1abc has a bit set beyond its 12: the upper 4 must be 0',
    );
    expect(refusalOf(integer(true, 12), 'fe0f')).toBe(
      'encoding : 0x0ffe has a bit set beyond its 12: the upper 4 must repeat the sign',
    );
    expect(refusalOf(integer(true, 12), '0008')).toContain('must repeat the sign');
    expect(refusalOf(integer(true, 12), '00f8')).toBe('taken');
    expect(refusalOf(integer(false, 2), '04')).toContain('the upper 6 must be 0');
  });

  it('agree with DataView at 8, 16, 32 and 64 bits', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: -(2n ** 63n), max: 2n ** 63n - 1n }), (value) => {
        const view = new DataView(new ArrayBuffer(8));
        view.setBigInt64(0, value, true);
        const bytes = new Uint8Array(view.buffer);
        const seen = (bits: 8 | 16 | 32 | 64, signed: boolean): bigint | undefined => {
          const decoded = decode(integer(signed, bits), bytes.slice(0, bits / 8));
          return decoded.ok && decoded.value.kind === 'integer' ? decoded.value.value : undefined;
        };
        expect(seen(64, true)).toBe(value);
        expect(seen(64, false)).toBe(view.getBigUint64(0, true));
        expect(seen(32, true)).toBe(BigInt(view.getInt32(0, true)));
        expect(seen(32, false)).toBe(BigInt(view.getUint32(0, true)));
        expect(seen(16, true)).toBe(BigInt(view.getInt16(0, true)));
        expect(seen(16, false)).toBe(BigInt(view.getUint16(0, true)));
        expect(seen(8, true)).toBe(BigInt(view.getInt8(0)));
      }),
    );
  });

  it('refuse a code that the width cannot hold', () => {
    expect(hexOf(integer(false, 24), { kind: 'integer', value: 1n << 24n })).toBe(
      'refused: code 16777216 is outside 0 to 16777215',
    );
    expect(hexOf(integer(true, 8), { kind: 'integer', value: -129n })).toBe(
      'refused: code -129 is outside -128 to 127',
    );
  });
});

describe('refusals', () => {
  it('tell the octets found and the octets allowed', () => {
    expect(refusalOf(integer(false, 16), '010203')).toBe('length : 3 octets instead of 2');
    expect(refusalOf(integer(false, 16), '01')).toBe('length : 1 octet instead of 2');
    expect(refusalOf({ kind: 'bytes', minLength: 2, maxLength: 3 }, '01')).toBe(
      'length : 1 octet is outside 2 to 3 octets',
    );
    expect(refusalOf({ kind: 'boolean' }, '02')).toBe('range : 2 is neither 0 nor 1');
    expect(refusalOf({ kind: 'array', element: integer(false, 16), minCount: 0, maxCount: 3 }, '010203')).toBe(
      'length : 3 octets are no whole number of items of 2 octets',
    );
  });

  it('tell the place within structs and arrays', () => {
    const text: ValueType = { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 8 };
    const inner: StructType = { kind: 'struct', fields: [{ id: 'on', label: 'On', type: { kind: 'boolean' } }] };
    const list: ValueType = { kind: 'array', element: inner, minCount: 3, maxCount: 3 };
    const type: StructType = {
      kind: 'struct',
      fields: [
        { id: 'points', label: 'Points', type: list },
        { id: 'note', label: 'Note', type: text },
      ],
    };
    expect(refusalOf(type, '010107')).toBe('range points[2].on: 7 is neither 0 nor 1');
    expect(refusalOf(type, '01010141ff')).toBe('encoding note: octet 1 breaks UTF-8: 0xff starts no character');
  });

  it('name half a surrogate pair and a text that is too long', () => {
    const type: ValueType = { kind: 'text', encoding: 'utf16', minLength: 0, maxLength: 4 };
    expect(hexOf(type, { kind: 'text', value: 'a\ud83c' })).toBe(
      'refused: character 2 is 0xd83c, half of a surrogate pair',
    );
    expect(hexOf(type, { kind: 'text', value: 'abc' })).toBe('refused: 6 octets are outside 0 to 4 octets');
    expect(refusalOf(type, '610062')).toContain('the text ends within a unit of 2 octets');
  });

  it('name a double that is no float32 and its nearest', () => {
    const type: ValueType = { kind: 'float', format: 'float32', unit: 0x2700, range: undefined, step: undefined };
    expect(hexOf(type, { kind: 'double', value: 0.1 })).toBe(
      'refused: 0.1 is no float32; the nearest is 0.10000000149011612',
    );
    expect(hexOf(type, { kind: 'medfloat', value: { kind: 'special', name: 'NaN' } })).toBe(
      'refused: a medfloat stands where a value of kind float is needed',
    );
  });

  it('name a medical float beyond its limits', () => {
    const type: ValueType = { kind: 'float', format: 'medfloat16', unit: 0x2700, range: undefined, step: undefined };
    expect(refusalOf(type, 'ff17')).toBe(
      'encoding : 0x17ff has a mantissa outside -2045 to 2045 and is no special value',
    );
    expect(hexOf(type, { kind: 'medfloat', value: { kind: 'number', mantissa: 3000, exponent: 9 } })).toBe(
      'refused: 3000 * 10^9 is outside mantissa -2045 to 2045 with exponent -8 to 7',
    );
  });

  it('name a struct with a field too few and an array with an item too many', () => {
    expect(hexOf(struct(integer(false, 8), integer(false, 8)), codes(1))).toBe('refused: 1 field instead of 2');
    const list: ValueType = { kind: 'array', element: integer(false, 8), minCount: 1, maxCount: 2 };
    const item: Coded = { kind: 'integer', value: 1n };
    expect(hexOf(list, { kind: 'array', items: [item, item, item] })).toBe('refused: 3 items are outside 1 to 2 items');
    expect(hexOf(list, { kind: 'array', items: [] })).toBe('refused: 0 items are outside 1 to 2 items');
  });
});

describe('lengths', () => {
  it.each<[ValueType, number, number]>([
    [{ kind: 'boolean' }, 1, 1],
    [integer(false, 2), 1, 1],
    [integer(false, 12), 2, 2],
    [integer(false, 128), 16, 16],
    [{ kind: 'float', format: 'medfloat32', unit: 0, range: undefined, step: undefined }, 4, 4],
    [{ kind: 'float', format: 'float64', unit: 0, range: undefined, step: undefined }, 8, 8],
    [{ kind: 'flags', bits: 24, names: [] }, 3, 3],
    [{ kind: 'text', encoding: 'utf8', minLength: 2, maxLength: 60 }, 2, 60],
    [{ kind: 'array', element: integer(false, 12), minCount: 2, maxCount: 5 }, 4, 10],
    [
      struct(integer(false, 4), integer(false, 4), { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 9 }),
      1,
      10,
    ],
    [struct(), 0, 0],
  ])('of %# are known', (type, min, max) => {
    expect(lengthRange(type)).toEqual({ min, max });
  });
});
