import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { arbitraryTyped, arbitraryType } from '../../test/support/arbitrary-type.ts';
import { fromHex } from '../base/bytes.ts';
import { rational, zero } from '../base/rational.ts';
import { checkCoded, checkValue, floatRange } from './check.ts';
import { encode, lengthRange } from './codec.ts';
import type { EnumType, FlagsType, IntegerType, StructType, ValueType } from './type.ts';

const level: IntegerType = {
  ...integer(true, 16, { scale: { multiplier: 1, decimal: -2, binary: 0 }, unit: 0x272f, bounded: true }),
  range: { min: rational(-27315, 100), max: rational(100) },
  special: [{ code: -32768n, name: 'unknown' }],
};

function found(type: ValueType, hex: string): string {
  const refusal = checkValue(type, fromHex(hex)!);
  return refusal === undefined ? 'taken' : `${refusal.reason} ${refusal.path}: ${refusal.message}`;
}

describe('numbers', () => {
  it.each([
    ['1027', 'taken'],
    ['1127', 'range : 100.01 °C is outside -273.15 to 100 °C'],
    ['4d95', 'taken'],
    ['4c95', 'range : -273.16 °C is outside -273.15 to 100 °C'],
    ['0080', 'taken'],
    ['0180', 'range : -327.67 °C is outside -273.15 to 100 °C'],
    ['10', 'length : 1 octet instead of 2'],
    ['102700', 'length : 3 octets instead of 2'],
    ['', 'length : 0 octets instead of 2'],
  ])('%s: %s', (hex, expected) => {
    expect(found(level, hex)).toBe(expected);
  });

  it('are allowed by their exact value where the bounds lie between codes', () => {
    const type = { ...level, range: { min: rational(1, 1000), max: rational(19, 1000) }, special: [] };
    expect(found(type, '0000')).toBe('range : 0 °C is outside 0.001 to 0.019 °C');
    expect(found(type, '0100')).toBe('taken');
    expect(found(type, '0200')).toBe('range : 0.02 °C is outside 0.001 to 0.019 °C');
  });

  it('as floats are held to their range, and are numbers where there is one', () => {
    const open: ValueType = { kind: 'float', format: 'medfloat16', unit: 0x272f, range: undefined, step: undefined };
    const bounded: ValueType = { ...open, range: { min: zero, max: rational(50) } };
    expect(found(open, 'ff07')).toBe('taken');
    expect(found(bounded, 'ff07')).toBe('range : NaN is no number from 0 to 50 °C');
    expect(found(bounded, 'f5f1')).toBe('range : 50.1 °C is outside 0 to 50 °C');
    expect(found(bounded, 'f4f1')).toBe('taken');
    expect(found({ ...bounded, format: 'float64' }, '000000000000f87f')).toBe(
      'range : NaN is no number from 0 to 50 °C',
    );
  });

  it('as floats have bounds that their format holds', () => {
    const range = { min: rational(1, 10), max: rational(1, 3) };
    const held = floatRange({ kind: 'float', format: 'float32', unit: 0, range, step: undefined });
    expect(held).toEqual({ min: rational(13421773, 2 ** 27), max: rational(11184811, 2 ** 25) });
    const beyond = { min: zero, max: rational(10n ** 60n) };
    expect(floatRange({ kind: 'float', format: 'float32', unit: 0, range: beyond, step: undefined })).toEqual(beyond);
    expect(
      floatRange({ kind: 'float', format: 'float32', unit: 0, range: undefined, step: undefined }),
    ).toBeUndefined();
  });
});

describe('names', () => {
  const mode: EnumType = {
    kind: 'enum',
    bits: 8,
    names: Array.from({ length: 9 }, (_, i) => ({ code: BigInt(i), name: `m${i}` })),
  };
  const lamps: FlagsType = { kind: 'flags', bits: 16, names: [{ bit: 3, name: 'red' }] };

  it('must exist for a choice; a long list of them is cut', () => {
    expect(found(mode, '08')).toBe('taken');
    expect(found(mode, '09')).toBe(
      'range : code 9 has no name; allowed are 0 m0, 1 m1, 2 m2, 3 m3, 4 m4, 5 m5, 6 m6, 7 m7, …',
    );
  });

  it('must exist for every bit that is set', () => {
    expect(found(lamps, '0000')).toBe('taken');
    expect(found(lamps, '0800')).toBe('taken');
    expect(found(lamps, '0880')).toBe('range : bit 15 is set and has no name; bits with names are 3 red');
    expect(found({ ...lamps, names: [] }, '0100')).toBe(
      'range : bit 0 is set and has no name; bits with names are none',
    );
  });
});

describe('parts', () => {
  it('are refused with their place', () => {
    const point: StructType = {
      kind: 'struct',
      fields: [
        { id: 'on', label: 'On', type: { kind: 'boolean' } },
        { id: 'level', label: 'Level', type: level },
      ],
    };
    const points: ValueType = { kind: 'array', element: point, minCount: 0, maxCount: 4 };
    expect(found(points, '011027000000')).toBe('taken');
    expect(found(points, '011027001127')).toBe('range [1].level: 100.01 °C is outside -273.15 to 100 °C');
    expect(found(points, '0110270011')).toBe('length : 5 octets are no whole number of items of 3 octets');
    expect(found(points, '03102700112700112700112700112700112700')).toContain('length : 19 octets are outside 0 to 12');
  });
});

describe('any type', () => {
  it('checks octets as it checks what they stand for', () => {
    fc.assert(
      fc.property(arbitraryTyped(), ({ type, coded }) => {
        const encoded = encode(type, coded);
        if (encoded.ok) expect(checkValue(type, encoded.value)).toEqual(checkCoded(type, coded));
        else expect(checkCoded(type, coded)).toEqual(encoded.refusal);
      }),
      { numRuns: 300 },
    );
  });

  it('takes or refuses any octets, and those of another length for their length', () => {
    fc.assert(
      fc.property(arbitraryType(), fc.uint8Array({ maxLength: 40 }), (type, bytes) => {
        const refusal = checkValue(type, bytes);
        const { min, max } = lengthRange(type);
        if (bytes.length < min || bytes.length > max) expect(refusal?.reason).toBe('length');
        if (refusal === undefined) return;
        expect(refusal.message).toMatch(/^\S/);
        // The sentence has no full stop of its own; a name that it ends with may have one.
        const endsInName = JSON.stringify(type, (_, part: unknown) => (typeof part === 'bigint' ? '' : part)).includes(
          '."',
        );
        if (!endsInName) expect(refusal.message).not.toMatch(/\.$/);
      }),
      { numRuns: 300 },
    );
  });
});
