import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryRational } from '../../test/support/arbitrary-type.ts';
import { readVectors, vectorTests } from '../../test/support/read-vectors.ts';
import { absolute, compare, multiply, parseRational, powerOf, rational, subtract } from '../base/rational.ts';
import {
  decodeMedfloat,
  encodeMedfloat,
  medfloatDigits,
  medfloatLayouts,
  medfloatValue,
  nearestMedfloat,
  type MedfloatFormat,
} from './medfloat.ts';
import type { Medfloat } from './type.ts';

type Input = { format: MedfloatFormat; code: string };
type Output = { mantissa: number; exponent: number } | { special: string };

const file = readVectors<Input, Output>(new URL('./vectors/medfloat.json', import.meta.url));
const formats = fc.constantFrom<MedfloatFormat>('medfloat16', 'medfloat32');

describe('codes', () => {
  it.each(vectorTests(file))('$id: $group, $input.code is $comment', ({ input, output, comment }) => {
    const code = Number.parseInt(input.code, 16);
    const value = decodeMedfloat(input.format, code);
    if (output === undefined) {
      expect(value).toBeUndefined();
      return;
    }
    const expected = 'special' in output ? { kind: 'special', name: output.special } : { kind: 'number', ...output };
    expect(value).toEqual(expected);
    expect(encodeMedfloat(input.format, value!)).toBe(code);
    if (value?.kind === 'number') {
      expect(medfloatValue(value)).toEqual(parseRational(comment));
      expect(medfloatDigits(value)).toBe(comment);
    }
  });

  it('of 16 bits are a number, a special value or nothing, and go back to themselves', () => {
    let specials = 0;
    let nothing = 0;
    const changed: number[] = [];
    for (let code = 0; code <= 0xffff; code++) {
      const value = decodeMedfloat('medfloat16', code);
      if (value === undefined) nothing += 1;
      else if (encodeMedfloat('medfloat16', value) !== code) changed.push(code);
      if (value?.kind === 'special') specials += 1;
    }
    expect(changed).toEqual([]);
    // Five special mantissas, with a meaning at one of the sixteen exponents.
    expect(specials).toBe(5);
    expect(nothing).toBe(5 * 15);
  });

  it('of 32 bits go back to themselves', () => {
    fc.assert(
      fc.property(fc.nat(0xffffffff), (code) => {
        const value = decodeMedfloat('medfloat32', code);
        if (value !== undefined) expect(encodeMedfloat('medfloat32', value)).toBe(code);
      }),
    );
  });

  it.each<Medfloat>([
    { kind: 'number', mantissa: 2046, exponent: 0 },
    { kind: 'number', mantissa: -2046, exponent: 0 },
    { kind: 'number', mantissa: 1, exponent: 8 },
    { kind: 'number', mantissa: 1, exponent: -9 },
    { kind: 'number', mantissa: 1.5, exponent: 0 },
    { kind: 'number', mantissa: 1, exponent: 0.5 },
  ])('do not exist for %j', (value) => {
    expect(encodeMedfloat('medfloat16', value)).toBeUndefined();
  });
});

describe('the nearest medical float', () => {
  it.each([
    ['2', 2, 0],
    ['2.00', 2, 0],
    ['2.5', 25, -1],
    ['-16.2', -162, -1],
    ['0', 0, 0],
    ['3600', 360, 1],
    ['2000', 2000, 0],
    ['20000', 2000, 1],
    ['1e7', 1000, 4],
    ['0.00118', 118, -5],
    ['0.00000001', 1, -8],
    // Not exact: the finest exponent, half to the even mantissa.
    ['3.14159', 314, -2],
    ['1.23456', 1235, -3],
    ['1.2345', 1234, -3],
    ['1.2355', 1236, -3],
    ['0.000000005', 0, -8],
    ['0.000000015', 2, -8],
    // The step is wider between the largest mantissa of one exponent and the first of the next.
    ['2046', 2045, 0],
    ['2047', 2045, 0],
    ['2048', 205, 1],
    ['-2048', -205, 1],
    ['20450000000', 2045, 7],
    ['20454999999', 2045, 7],
  ])('of %s in 16 bits is %d * 10^%d', (text, mantissa, exponent) => {
    expect(nearestMedfloat('medfloat16', parseRational(text)!)).toEqual({ kind: 'number', mantissa, exponent });
  });

  it('does not exist beyond the largest', () => {
    expect(nearestMedfloat('medfloat16', parseRational('20460000000')!)).toBeUndefined();
    expect(nearestMedfloat('medfloat16', parseRational('-1e300')!)).toBeUndefined();
    expect(nearestMedfloat('medfloat32', parseRational('8388605e127')!)).toBeDefined();
    expect(nearestMedfloat('medfloat32', parseRational('8388606e127')!)).toBeUndefined();
  });

  it('is the number itself where the format holds it, with the exponent nearest to 0 that does', () => {
    const held = formats.chain((format) => {
      const { mantissa, exponent } = medfloatLayouts[format];
      return fc.record({
        format: fc.constant(format),
        mantissa: fc.integer({ min: -mantissa, max: mantissa }),
        exponent: fc.integer(exponent),
      });
    });
    fc.assert(
      fc.property(held, ({ format, mantissa, exponent }) => {
        const value = medfloatValue({ mantissa, exponent });
        const nearest = nearestMedfloat(format, value)!;
        if (nearest.kind !== 'number') expect.unreachable();
        else {
          expect(medfloatValue(nearest)).toEqual(value);
          expect(Math.abs(nearest.exponent)).toBeLessThanOrEqual(Math.abs(exponent));
        }
      }),
    );
  });

  it('has no neighbour that is nearer', () => {
    const small = arbitraryRational.map((value) => multiply(value, powerOf(10n, -14)));
    fc.assert(
      fc.property(small, (value) => {
        const nearest = nearestMedfloat('medfloat16', value)!;
        if (nearest.kind !== 'number') expect.unreachable();
        else {
          const error = absolute(subtract(medfloatValue(nearest), value));
          // Every other candidate: all exponents, the mantissas around the quotient and the limits.
          for (let exponent = -8; exponent <= 7; exponent++) {
            const quotient = multiply(value, powerOf(10n, -exponent));
            const around = Number(quotient.num / quotient.den);
            for (const mantissa of [around - 1, around, around + 1, 2045, -2045]) {
              if (Math.abs(mantissa) > 2045) continue;
              const other = absolute(subtract(medfloatValue({ mantissa, exponent }), value));
              expect(compare(error, other)).toBeLessThanOrEqual(0);
            }
          }
        }
      }),
    );
  });

  it('is off by at most half a step of its exponent when it is no limit', () => {
    fc.assert(
      fc.property(formats, arbitraryRational, (format, value) => {
        const nearest = nearestMedfloat(format, value);
        const limit = medfloatLayouts[format].mantissa;
        if (nearest?.kind !== 'number' || Math.abs(nearest.mantissa) === limit) return;
        const half = multiply(powerOf(10n, nearest.exponent), rational(1, 2));
        expect(compare(absolute(subtract(medfloatValue(nearest), value)), half)).toBeLessThanOrEqual(0);
      }),
    );
  });
});
