import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryRational } from '../../test/support/arbitrary-type.ts';
import {
  absolute,
  add,
  ceiling,
  compare,
  decimalPlaces,
  divide,
  equal,
  floor,
  fromDouble,
  isInteger,
  multiply,
  negate,
  one,
  parseRational,
  powerOf,
  rational,
  roundHalfEven,
  roundToBinary,
  showRational,
  subtract,
  toDouble,
  zero,
  type Rational,
} from './rational.ts';

const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
const read = (text: string): Rational => parseRational(text)!;

describe('arithmetic', () => {
  it('is exact where doubles are not', () => {
    expect(equal(add(read('0.1'), read('0.2')), read('0.3'))).toBe(true);
    expect(showRational(add(read('0.1'), read('0.2')))).toBe('0.3');
  });

  it('keeps lowest terms and a positive denominator', () => {
    expect(rational(6n, -4n)).toEqual({ num: -3n, den: 2n });
    expect(rational(0n, -7n)).toEqual(zero);
    expect(rational(4)).toEqual({ num: 4n, den: 1n });
    expect(() => rational(1n, 0n)).toThrow(RangeError);
    expect(() => divide(one, zero)).toThrow(RangeError);
  });

  it('obeys the laws of a field', () => {
    fc.assert(
      fc.property(arbitraryRational, arbitraryRational, arbitraryRational, (a, b, c) => {
        expect(add(a, b)).toEqual(add(b, a));
        expect(multiply(a, add(b, c))).toEqual(add(multiply(a, b), multiply(a, c)));
        expect(subtract(add(a, b), b)).toEqual(a);
        if (b.num !== 0n) expect(multiply(divide(a, b), b)).toEqual(a);
        expect(add(a, negate(a))).toEqual(zero);
        expect(Math.sign(compare(a, b))).toBe(-Math.sign(compare(b, a)));
        expect(compare(absolute(a), zero)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it('takes powers up and down', () => {
    expect(powerOf(10n, 3)).toEqual(rational(1000));
    expect(powerOf(2n, -8)).toEqual(rational(1, 256));
    expect(powerOf(10n, 0)).toEqual(one);
  });
});

describe('rounding to integers', () => {
  it.each([
    ['2.5', 2n],
    ['3.5', 4n],
    ['-2.5', -2n],
    ['-3.5', -4n],
    ['2.4999', 2n],
    ['2.5001', 3n],
    ['-0.5', 0n],
    ['7', 7n],
  ])('takes %s to %s', (text, expected) => {
    expect(roundHalfEven(read(text))).toBe(expected);
  });

  it('bounds every number by floor and ceiling', () => {
    fc.assert(
      fc.property(arbitraryRational, (a) => {
        const low = floor(a);
        const high = ceiling(a);
        expect(compare(rational(low), a)).toBeLessThanOrEqual(0);
        expect(compare(rational(high), a)).toBeGreaterThanOrEqual(0);
        expect(high - low).toBe(isInteger(a) ? 0n : 1n);
        expect([low, high]).toContain(roundHalfEven(a));
      }),
    );
  });
});

describe('doubles', () => {
  it('gives back every double that it takes', () => {
    fc.assert(
      fc.property(finite, (x) => {
        expect(toDouble(fromDouble(x))).toBe(x + 0);
      }),
      { numRuns: 300 },
    );
  });

  // The language's own reading of decimals rounds correctly (ECMAScript, StringToNumber) and is the oracle.
  const decimal = fc
    .tuple(fc.constantFrom('', '-'), fc.bigInt({ min: 0n, max: 10n ** 40n }), fc.integer({ min: -370, max: 330 }))
    .map(([sign, digits, exponent]) => `${sign}${digits}e${exponent}`);
  it('rounds any decimal as Number() does, down to subnormal numbers and up to infinity', () => {
    fc.assert(
      fc.property(decimal, (text) => {
        expect(toDouble(read(text)) + 0).toBe(Number(text) + 0);
      }),
      { numRuns: 300 },
    );
  });

  it('rounds decimals near the bottom of the range as Number() does', () => {
    const tiny = fc
      .tuple(fc.bigInt({ min: 1n, max: 10n ** 20n }), fc.integer({ min: -345, max: -322 }))
      .map(([digits, exponent]) => `${digits}e${exponent}`);
    fc.assert(
      fc.property(tiny, (text) => {
        expect(toDouble(read(text))).toBe(Number(text));
      }),
      { numRuns: 300 },
    );
  });

  it('rounds half of the smallest subnormal number to the even zero, and a little more up', () => {
    const half = powerOf(2n, -1075);
    expect(toDouble(half)).toBe(0);
    expect(toDouble(add(half, powerOf(2n, -2000)))).toBe(Number.MIN_VALUE);
    expect(toDouble(multiply(half, rational(3)))).toBe(2 * Number.MIN_VALUE);
  });

  it('rounds once: a subnormal number just above a tie goes up', () => {
    // 1.5 * 2^-1074 plus a bit far below: two roundings would first drop the bit and then go to the even neighbour.
    const value = add(multiply(rational(5, 2), powerOf(2n, -1074)), powerOf(2n, -1140));
    expect(toDouble(value)).toBe(3 * Number.MIN_VALUE);
  });

  it('ends at infinity where Number() does', () => {
    const limit = add(fromDouble(Number.MAX_VALUE), powerOf(2n, 969));
    expect(toDouble(limit)).toBe(Number.MAX_VALUE);
    expect(toDouble(add(limit, powerOf(2n, 969)))).toBe(Infinity);
    expect(toDouble(negate(powerOf(10n, 400)))).toBe(-Infinity);
  });

  it('rounds to float32 as the machine does', () => {
    fc.assert(
      fc.property(finite, (x) => {
        const rounded = roundToBinary(fromDouble(x), 24, -149);
        const machine = Math.fround(x);
        if (Number.isFinite(machine)) expect(rounded).toBe(machine + 0);
        else expect(Math.abs(rounded)).toBeGreaterThanOrEqual(2 ** 128);
      }),
      { numRuns: 300 },
    );
  });

  it('has no exact value for what is no number', () => {
    expect(() => fromDouble(NaN)).toThrow(RangeError);
    expect(() => fromDouble(-Infinity)).toThrow(RangeError);
  });
});

describe('text', () => {
  it.each([
    ['0.25', '0.25'],
    ['-.5', '-0.5'],
    ['7.', '7'],
    ['1e3', '1000'],
    ['+12.50e-1', '1.25'],
    ['0x1F', '31'],
    ['-0x10', '-16'],
    ['1e-12', '0.000000000001'],
  ])('reads %s', (text, shown) => {
    expect(showRational(read(text))).toBe(shown);
  });

  it.each([
    '',
    '.',
    '-',
    'e5',
    '1e',
    '0x',
    '0xg',
    '1_000',
    '1,5',
    ' 1',
    '1 ',
    '--1',
    '1e401',
    'NaN',
    'Infinity',
    '½',
    '٣',
  ])('does not read %j', (text) => {
    expect(parseRational(text)).toBeUndefined();
  });

  it('shows all of a fraction that ends within the digits and marks what it rounded', () => {
    expect(showRational(rational(1, 8))).toBe('0.125');
    expect(showRational(rational(1, 3), 4)).toBe('≈0.3333');
    expect(showRational(rational(-2, 3), 4)).toBe('≈-0.6667');
    expect(showRational(rational(1, 1024), 3)).toBe('≈0.001');
    expect(showRational(read('-0.05'))).toBe('-0.05');
    expect(showRational(zero)).toBe('0');
  });

  it('knows where a decimal ends', () => {
    expect(decimalPlaces(1n)).toBe(0);
    expect(decimalPlaces(8n)).toBe(3);
    expect(decimalPlaces(50n)).toBe(2);
    expect(decimalPlaces(3n)).toBeUndefined();
  });

  it('reads what it shows', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: -(10n ** 30n), max: 10n ** 30n }), fc.nat(30), (digits, places) => {
        const value = multiply(rational(digits), powerOf(10n, -places));
        expect(read(showRational(value, 30))).toEqual(value);
      }),
    );
  });
});
