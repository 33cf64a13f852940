import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { arbitraryInteger } from '../../test/support/arbitrary-type.ts';
import { compare, multiply, rational } from '../base/rational.ts';
import { codedRange, fullPhysicalRange, fullRange, resolution, scaleFactor } from './scale.ts';
import { unscaled } from './type.ts';

describe('scales', () => {
  // GATT Specification Supplement section 2 and Mesh Model 1.1 section 2.3.1: examples of multiplier, decimal, binary.
  it.each([
    [{ multiplier: 1, decimal: -1, binary: 0 }, rational(1, 10)],
    [{ multiplier: 1, decimal: 0, binary: -8 }, rational(1, 256)],
    [{ multiplier: 2, decimal: -1, binary: 0 }, rational(1, 5)],
    [{ multiplier: -3, decimal: 2, binary: 4 }, rational(-4800)],
    [unscaled, rational(1)],
  ])('%j', (scale, factor) => {
    expect(scaleFactor(scale)).toEqual(factor);
  });

  it('tell the distance between neighbouring codes, which is never negative', () => {
    fc.assert(
      fc.property(arbitraryInteger, (type) => {
        const one = multiply(rational(1), scaleFactor(type.scale));
        expect(resolution(type)).toEqual(rational(one.num < 0n ? -one.num : one.num, one.den));
      }),
    );
    expect(resolution({ kind: 'boolean' })).toBeUndefined();
  });
});

describe('ranges of codes', () => {
  it('are those of the width', () => {
    expect(fullRange(12, true)).toEqual({ min: -2048n, max: 2047n });
    expect(fullRange(64, false)).toEqual({ min: 0n, max: 0xffffffffffffffffn });
    expect(fullPhysicalRange(8, true, { multiplier: -1, decimal: -1, binary: 0 })).toEqual({
      min: rational(-127, 10),
      max: rational(128, 10),
    });
  });

  it('hold exactly the codes whose value lies in the range', () => {
    fc.assert(
      fc.property(arbitraryInteger, fc.double({ min: 0, max: 1, noNaN: true }), (type, part) => {
        const { min, max } = codedRange(type);
        const full = fullRange(type.bits, type.signed);
        const somewhere = full.min + BigInt(Math.floor(part * 2 ** 53)) * ((full.max - full.min) / 2n ** 53n);
        for (const code of [min - 1n, min, max, max + 1n, somewhere, full.min, full.max]) {
          if (code < full.min || code > full.max) continue;
          const value = multiply(rational(code), scaleFactor(type.scale));
          const within = compare(value, type.range.min) >= 0 && compare(value, type.range.max) <= 0;
          expect(code >= min && code <= max).toBe(within);
        }
      }),
    );
  });

  it('are empty when the range lies between two codes', () => {
    const range = { min: rational(13, 10), max: rational(17, 10) };
    const { min, max } = codedRange({ ...integer(false, 8), range, bounded: true });
    expect(min > max).toBe(true);
  });
});
