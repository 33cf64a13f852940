import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryType, isInhabited } from '../../test/support/arbitrary-type.ts';
import { integer, utf8 } from '../../test/support/contract-builder.ts';
import { toHex } from '../base/bytes.ts';
import { checkValue } from '../values/check.ts';
import { lengthRange } from '../values/codec.ts';
import type { ValueType } from '../values/type.ts';
import { isWholeWrite, refusedSamples } from './refused-samples.ts';
import { allowedSamples, longestOf, otherThan, steps } from './samples.ts';

const inhabited = arbitraryType(2).filter(isInhabited);
const named = (type: ValueType): Readonly<Record<string, string>> =>
  Object.fromEntries(allowedSamples(type).map(({ name, bytes }) => [name, toHex(bytes)]));
const refused = (type: ValueType): Readonly<Record<string, string>> =>
  Object.fromEntries(refusedSamples(type).map(({ name, bytes }) => [name, toHex(bytes)]));

describe('allowed samples', () => {
  it('are allowed, distinct and named apart, for any type', () => {
    fc.assert(
      fc.property(inhabited, (type) => {
        const samples = allowedSamples(type);
        expect(samples.length).toBeGreaterThan(0);
        for (const { bytes } of samples) expect(checkValue(type, bytes)).toBeUndefined();
        expect(new Set(samples.map(({ bytes }) => toHex(bytes))).size).toBe(samples.length);
        for (const { name } of samples) expect(name).toMatch(/^[a-z0-9-]+$/);
      }),
      { numRuns: 200 },
    );
  });

  it('reach both lengths of a type that varies', () => {
    fc.assert(
      fc.property(inhabited, (type) => {
        const { min } = lengthRange(type);
        const lengths = allowedSamples(type).map(({ bytes }) => bytes.length);
        // UTF-16 fills pairs of octets only.
        expect(Math.min(...lengths) - min).toBeLessThanOrEqual(1);
        expect(longestOf(type).length).toBe(Math.max(...lengths));
      }),
      { numRuns: 100 },
    );
  });

  // One step is 0.01 Hz: 4 Hz is 400 = 0x0190, least significant octet first.
  it('are the ends of a range and the codes just inside them', () => {
    const type = integer(false, 16, { scale: { multiplier: 1, decimal: -2, binary: 0 }, range: [0, 4] });
    expect(named(type)).toEqual({
      min: '0000',
      max: '9001',
      mid: 'c800',
      'above-min': '0100',
      'below-max': '8f01',
    });
  });

  it('are each name and each bit', () => {
    const dye: ValueType = { kind: 'enum', bits: 8, names: [0n, 5n].map((code) => ({ code, name: `n${code}` })) };
    expect(named(dye)).toEqual({ 'choice-0': '00', 'choice-5': '05' });
    const modes: ValueType = { kind: 'flags', bits: 8, names: [0, 7].map((bit) => ({ bit, name: `b${bit}` })) };
    expect(named(modes)).toEqual({ 'no-flags': '00', 'bit-0': '01', 'bit-7': '80', 'all-flags': '81' });
  });

  it('are texts of one, two, three and four octets a character, and one with a zero inside', () => {
    expect(named(utf8(12))).toEqual({
      shortest: '',
      longest: '6162636465666768696a6b6c',
      'multi-byte': 'c3a9e28988f09f8c8ac3a961',
      'inner-nul': '610061',
    });
  });
});

describe('steps', () => {
  it('change at each step, and do not read the same backwards where that can be', () => {
    fc.assert(
      fc.property(inhabited, fc.integer({ min: 2, max: 9 }), (type, count) => {
        const row = steps(type, count);
        if (row === undefined) return;
        expect(row.length).toBe(count);
        row.forEach((bytes, i) => {
          if (i > 0) expect(toHex(bytes)).not.toBe(toHex(row[i - 1]!));
        });
      }),
      { numRuns: 100 },
    );
    const hexes = steps(integer(false, 16), 4)!.map((bytes) => toHex(bytes));
    expect(hexes.some((hex) => hex === '0000' || hex === 'ffff')).toBe(false);
  });

  it('are none for a type with one value', () => {
    expect(steps({ kind: 'bytes', minLength: 0, maxLength: 0 }, 2)).toBeUndefined();
    expect(otherThan({ kind: 'boolean' }, Uint8Array.of(0))).toEqual(Uint8Array.of(1));
  });
});

describe('refused samples', () => {
  it('are refused for the reason they name, for any type', () => {
    fc.assert(
      fc.property(inhabited, (type) => {
        for (const { bytes, reason } of refusedSamples(type)) {
          const refusal = checkValue(type, bytes);
          expect(refusal).toBeDefined();
          expect(refusal?.reason === 'length').toBe(reason === 'length');
        }
      }),
      { numRuns: 300 },
    );
  });

  it('are one code beyond each end', () => {
    const type = integer(true, 16, { scale: { multiplier: 1, decimal: -2, binary: 0 }, range: [-1, 1] });
    expect(refused(type)).toEqual({
      'below-range': '9bff',
      'above-range': '6500',
      'lowest-code': '0080',
      'highest-code': 'ff7f',
      'one-octet-short': '9c',
      'one-octet-long': '9cff00',
      'twice-as-long': '9cff0000',
      empty: '',
    });
  });

  it('leave out codes that stand for no quantity, for they are allowed', () => {
    const type = { ...integer(false, 8, { range: [0, 100] }), special: [{ code: 101n, name: 'unknown' }] };
    expect(refused(type)).toMatchObject({ 'above-range': '66', 'highest-code': 'ff' });
  });

  // RFC 3629 section 3: C0 80 is overlong, ED A0 80 a surrogate, F4 90 80 80 beyond U+10FFFF.
  it('are texts that are no UTF-8', () => {
    expect(refused(utf8(8))).toMatchObject({
      'lone-continuation': '80',
      'overlong-nul': 'c080',
      surrogate: 'eda080',
      'beyond-unicode': 'f4908080',
    });
  });

  it('are a bit beyond the twelve that a value fills', () => {
    expect(refused(integer(false, 12))).toMatchObject({ 'spare-bit': '0010' });
  });

  it('tell when prepared writes would make them a part of the value', () => {
    const type: ValueType = { kind: 'bytes', minLength: 48, maxLength: 48 };
    const short = refusedSamples(type).find(({ name }) => name === 'one-octet-short')!;
    const long = refusedSamples(type).find(({ name }) => name === 'one-octet-long')!;
    expect([isWholeWrite(type, short, 23), isWholeWrite(type, short, 50)]).toEqual([false, true]);
    expect(isWholeWrite(type, long, 23)).toBe(true);
  });
});
