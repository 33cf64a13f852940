import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { compare, fromDouble, parseRational, toDouble, type Rational } from '../../base/rational.ts';
import { unscaled, type IntegerType } from '../../values/type.ts';
import { greatest, integersFor, nearestToZero, spacing } from './holding.ts';

const number = (text: string): Rational => parseRational(text)!;
const range = (min: string, max: string) => ({ min: number(min), max: number(max) });
const plain: IntegerType = {
  kind: 'integer',
  signed: false,
  bits: 8,
  scale: unscaled,
  unit: 0x2700,
  range: range('0', '1'),
  bounded: true,
  step: undefined,
  special: [],
};

describe('greatest', () => {
  it('is the largest finite number of IEEE 754', () => {
    expect(toDouble(greatest('float64'))).toBe(Number.MAX_VALUE);
    expect(toDouble(greatest('float32'))).toBe(Math.fround(3.4028234663852886e38));
  });

  // IEEE 11073-20601 Annex F: exponents of 4 and 8 bits, mantissas below the special codes 0x07FE and 0x007FFFFE.
  it('is mantissa times ten to the exponent in IEEE 11073', () => {
    expect(greatest('medfloat16')).toEqual(number('2045e7'));
    expect(greatest('medfloat32')).toEqual(number('8388605e127'));
  });
});

describe('spacing', () => {
  it('is the distance that Math.fround rounds to', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-30, max: 1e30, noNaN: true }), (x) => {
        const value = Math.fround(x);
        const step = toDouble(spacing('float32', fromDouble(value)));
        expect(Math.fround(value + step)).not.toBe(value);
        expect(Math.fround(value + step / 4)).toBe(value);
      }),
      { numRuns: 200 },
    );
  });

  it.each([
    ['0', '0.00000001'],
    ['2.045', '0.001'],
    ['2.046', '0.01'],
    ['-2000', '1'],
    ['2046', '10'],
    ['99999999999', '10000000'],
  ])('of an SFLOAT at %s is %s', (at, step) => {
    expect(spacing('medfloat16', number(at))).toEqual(number(step));
  });
});

describe('integersFor', () => {
  it('gives the narrowest first', () => {
    expect(integersFor(range('0', '255'), plain).slice(0, 2)).toEqual(['uint8', 'uint16']);
    expect(integersFor(range('-1', '127'), plain)[0]).toBe('sint8');
    expect(integersFor(range('-1', '128'), plain)[0]).toBe('sint16');
    expect(integersFor(range('0', '2.56'), { ...plain, scale: { ...unscaled, decimal: -2 } })[0]).toBe('uint16');
    expect(integersFor(range('0', '1e40'), plain)).toEqual([]);
  });
});

describe('nearestToZero', () => {
  it('lies in the range, and nothing in it is nearer', () => {
    expect(nearestToZero(range('-3', '4'))).toEqual(number('0'));
    expect(compare(nearestToZero(range('3', '4')), number('3'))).toBe(0);
    expect(compare(nearestToZero(range('-4', '-3')), number('-3'))).toBe(0);
  });
});
