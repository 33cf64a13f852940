import { describe, expect, it } from 'vitest';
import { parseRational, type Rational } from '../../base/rational.ts';
import { unscaled, type FloatType, type IntegerType } from '../../values/type.ts';
import { fixedDecimal, placesOf, plateDigits, plateWidth, scientific } from './decimal.ts';

const r = (text: string): Rational => parseRational(text)!;
const integer = (scale: Partial<IntegerType['scale']>): IntegerType => ({
  kind: 'integer',
  signed: true,
  bits: 16,
  scale: { ...unscaled, ...scale },
  unit: 0x2700,
  range: { min: r('-0.25'), max: r('0.25') },
  bounded: true,
  step: undefined,
  special: [],
});

describe('digits on a plate', () => {
  it('have always the same places, with a minus as wide as a digit', () => {
    expect(fixedDecimal(r('0.5'), 2)).toBe('0.50');
    expect(fixedDecimal(r('-3.7'), 1)).toBe('−3.7');
    expect(fixedDecimal(r('-0.004'), 2)).toBe('0.00');
    expect(fixedDecimal(r('12'), 0)).toBe('12');
  });

  it('show one step of the coding', () => {
    expect(placesOf(integer({ decimal: -4 }))).toBe(4);
    expect(placesOf(integer({ multiplier: 5, decimal: -1 }))).toBe(1);
    expect(placesOf(integer({}))).toBe(0);
    expect(placesOf(integer({ decimal: 2 }))).toBe(0);
    // 2^-15 is 0.000030517578125: five places tell its steps apart.
    expect(placesOf(integer({ binary: -15 }))).toBe(5);
  });

  it('of small and large floats have an exponent', () => {
    const type: FloatType = { kind: 'float', format: 'float64', unit: 0x2700, range: undefined, step: undefined };
    expect(plateDigits(type, r('0.00000012'))).toBe('1.200×10⁻⁷');
    expect(plateDigits(type, r('-1234567'))).toBe('−1.235×10⁶');
    expect(plateDigits(type, r('0.25'))).toBe('0.25');
    expect(plateDigits(type, r('0'))).toBe('0');
    expect(scientific(15)).toBe('1.500×10¹');
  });

  it('keep room for the widest number', () => {
    expect(plateWidth(integer({ decimal: -4 }))).toBe('−0.2500'.length);
  });
});
