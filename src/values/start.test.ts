import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { arbitraryType, isInhabited } from '../../test/support/arbitrary-type.ts';
import { toHex } from '../base/bytes.ts';
import { rational } from '../base/rational.ts';
import { checkValue } from './check.ts';
import { defaultBytes } from './start.ts';
import type { IntegerType, ValueType } from './type.ts';

/** A range in halves, so that bounds lie between codes. */
function between(min: number, max: number): IntegerType {
  return { ...integer(true, 8), range: { min: rational(min, 2), max: rational(max, 2) }, bounded: true };
}

describe('the value at power-up', () => {
  it.each<[string, ValueType, string]>([
    ['0 where it is allowed', between(-4, 4), '00'],
    ['the lowest above 0', between(5, 9), '03'],
    ['the highest below 0', between(-9, -5), 'fd'],
    ['0 where nothing is allowed', between(1, 1), '00'],
    ['false', { kind: 'boolean' }, '00'],
    [
      'the first name',
      {
        kind: 'enum',
        bits: 16,
        names: [
          { code: 7n, name: 'b' },
          { code: 0n, name: 'a' },
        ],
      },
      '0700',
    ],
    ['no flags', { kind: 'flags', bits: 24, names: [{ bit: 0, name: 'x' }] }, '000000'],
    ['an empty text', { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 9 }, ''],
    ['the shortest text', { kind: 'text', encoding: 'utf16', minLength: 3, maxLength: 9 }, '20002000'],
    ['zeros where no text fits', { kind: 'text', encoding: 'utf16', minLength: 3, maxLength: 3 }, '000000'],
    ['the shortest row of octets', { kind: 'bytes', minLength: 2, maxLength: 9 }, '0000'],
    ['the shortest array', { kind: 'array', element: between(5, 9), minCount: 2, maxCount: 4 }, '0303'],
    [
      'the float nearest to 0',
      { kind: 'float', format: 'float32', unit: 0, range: { min: rational(1), max: rational(2) }, step: undefined },
      '0000803f',
    ],
    [
      'the medical float nearest to 0',
      {
        kind: 'float',
        format: 'medfloat16',
        unit: 0,
        range: { min: rational(-3), max: rational(-5, 2) },
        step: undefined,
      },
      'e7ff',
    ],
  ])('is %s', (_, type, hex) => {
    expect(toHex(defaultBytes(type))).toBe(hex);
  });

  it('is one that the board itself would take', () => {
    fc.assert(
      fc.property(arbitraryType().filter(isInhabited), (type) => {
        expect(checkValue(type, defaultBytes(type))).toBeUndefined();
      }),
      { numRuns: 300 },
    );
  });
});
