import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryRational } from '../../test/support/arbitrary-type.ts';
import { absolute, compare, multiply, parseRational, powerOf, rational, subtract } from '../base/rational.ts';
import { exactNumber, readableNumber, showQuantity, showRange, withUnit } from './show-number.ts';

const read = (text: string) => parseRational(text)!;

describe('all digits', () => {
  it.each(['0', '0.3', '-40', '340282366920938463463374607431768211455', '2e127', '-8388605e-128', '0.00390625'])(
    'of %s',
    (text) => {
      expect(exactNumber(read(text))).toBe(text);
    },
  );

  it('are read back, however large or fine', () => {
    const digits = fc.bigInt({ min: -(10n ** 40n), max: 10n ** 40n });
    fc.assert(
      fc.property(
        digits,
        fc.integer({ min: -130, max: 130 }),
        fc.integer({ min: -64, max: 64 }),
        (n, decimal, binary) => {
          const value = multiply(rational(n), multiply(powerOf(10n, decimal), powerOf(2n, binary)));
          expect(read(exactNumber(value))).toEqual(value);
        },
      ),
    );
  });

  it('of a fraction without end are marked', () => {
    expect(exactNumber(rational(1, 3))).toBe('≈0.333333333333');
  });
});

describe('readable digits', () => {
  it.each([
    ['0.3', '0.3'],
    ['123456789012345', '123456789012345'],
    ['12345678901234567890', '12345678901234567890'],
    ['0.123456789012345', '0.123456789012345'],
    ['0.1234567890123456', '≈0.123456789012346'],
    ['1234.56789012345678', '≈1234.56789012346'],
    ['-0.000012345678901234567', '≈-0.0000123456789012346'],
    ['1e-20', '0.00000000000000000001'],
  ])('of %s are %s', (text, shown) => {
    expect(readableNumber(read(text))).toBe(shown);
  });

  it('are off by less than the fifteenth, and marked exactly when off', () => {
    fc.assert(
      fc.property(arbitraryRational, (value) => {
        const shown = readableNumber(value);
        const near = read(shown.replace('≈', ''));
        const error = absolute(subtract(near, value));
        expect(shown.startsWith('≈')).toBe(error.num !== 0n);
        expect(compare(multiply(error, powerOf(10n, 11)), absolute(value))).toBeLessThanOrEqual(0);
      }),
    );
  });
});

describe('units', () => {
  it('stand behind the number, and nothing behind a pure one', () => {
    expect(showQuantity(read('0.5'), 0x2722)).toBe('0.5 Hz');
    expect(showQuantity(read('21.37'), 0x272f)).toBe('21.37 °C');
    expect(showQuantity(read('54'), 0x27ad)).toBe('54 %');
    expect(showQuantity(read('7'), 0x2700)).toBe('7');
    expect(showRange({ min: read('0'), max: read('4') }, 0x2722)).toBe('0 to 4 Hz');
    expect(withUnit('5', 0x2701)).toBe('5 m');
  });
});
