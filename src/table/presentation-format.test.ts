import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toHex } from '../base/bytes.ts';
import { multiply, powerOf, rational, showRational } from '../base/rational.ts';
import { adoptedCharacteristics } from '../numbers/adopted.ts';
import { formatByCode } from '../numbers/formats.ts';
import { decode } from '../values/codec.ts';
import { checkCoded } from '../values/check.ts';
import { isInhabited, arbitraryFloat, arbitraryInteger, arbitraryType } from '../../test/support/arbitrary-type.ts';
import { integer, uint8, utf8 } from '../../test/support/contract-builder.ts';
import type { FloatType, ValueType } from '../values/type.ts';
import { presentationFormat, readPresentationFormat } from './presentation-format.ts';
import { validRange } from './valid-range.ts';

const fahrenheit: FloatType = { kind: 'float', format: 'medfloat32', unit: 0x27ac, range: undefined, step: undefined };
const decimal = (d: number): { multiplier: number; decimal: number; binary: number } => ({
  multiplier: 1,
  decimal: d,
  binary: 0,
});

describe('presentation format', () => {
  test.each<[string, ValueType, string]>([
    // A maker's manual, quoted in a public document: FLOAT, degree Fahrenheit.
    ['FLOAT in degree Fahrenheit', fahrenheit, '1700ac27010000'],
    // Core Vol 3 Part G 3.3.3.5, worked out by hand.
    ['uint8 percentage', integer(false, 8, { unit: 0x27ad }), '0400ad27010000'],
    ['sint16 hundredths of degree Celsius', integer(true, 16, { scale: decimal(-2), unit: 0x272f }), '0efe2f27010000'],
    ['uint24 thousands', integer(false, 24, { scale: decimal(3) }), '07030027010000'],
    ['boolean', { kind: 'boolean' }, '01000027010000'],
    ['text', utf8(20), '19000027010000'],
    ['enum', { kind: 'enum', bits: 16, names: [] }, '06000027010000'],
    ['flags', { kind: 'flags', bits: 24, names: [] }, '07000027010000'],
    ['struct', { kind: 'struct', fields: [{ id: 'x', label: 'X', type: uint8 }] }, '1b000027010000'],
    ['array', { kind: 'array', element: uint8, minCount: 1, maxCount: 2 }, '1b000027010000'],
    ['octets', { kind: 'bytes', minLength: 0, maxLength: 4 }, '1b000027010000'],
  ])('%s', (_, type, hex) => {
    expect(toHex(presentationFormat(type)!)).toBe(hex);
  });

  test.each<[string, ValueType]>([
    ['a multiplier', integer(false, 8, { scale: { multiplier: 5, decimal: -1, binary: 0 } })],
    ['a binary exponent', integer(false, 16, { scale: { multiplier: 1, decimal: 0, binary: -6 } })],
    ['40 bits', integer(false, 40)],
    ['an exponent beyond a sint8', integer(false, 8, { scale: decimal(128) })],
  ])('cannot say %s', (_, type) => {
    expect(presentationFormat(type)).toBeUndefined();
  });

  // Core Vol 3 Part G 3.3.3.5.3: the value of coded 23 with exponent 2 is 2300, of 3892 with -3 it is 3.892.
  test.each([
    [23, 2, '2300'],
    [3892, -3, '3.892'],
  ])('%i with exponent %i is %s', (coded, exponent, physical) => {
    const read = readPresentationFormat(presentationFormat(integer(false, 16, { scale: decimal(exponent) }))!)!;
    expect(read.exponent).toBe(exponent);
    expect(showRational(multiply(rational(coded), powerOf(10n, read.exponent)))).toBe(physical);
  });

  test('reads back what was said of any type', () => {
    fc.assert(
      fc.property(arbitraryType(), (type) => {
        const bytes = presentationFormat(type);
        if (bytes === undefined) return;
        const { format, exponent, unit } = readPresentationFormat(bytes)!;
        expect(bytes).toHaveLength(7);
        expect(formatByCode(format)).toBeDefined();
        expect(exponent).toBe(type.kind === 'integer' ? type.scale.decimal : 0);
        expect(unit).toBe(type.kind === 'integer' || type.kind === 'float' ? type.unit : 0x2700);
      }),
    );
  });

  test('other lengths are no format', () => {
    expect(readPresentationFormat(new Uint8Array(6))).toBeUndefined();
  });
});

describe('valid range', () => {
  // Worked out by hand: 100 % in hundredths is 10000, -273.15 degree Celsius is -27315.
  test.each([
    ['humidity', '00001027'],
    ['temperature', '4d95ff7f'],
    ['battery-level', '0064'],
    ['elevation', undefined],
    ['coefficient', undefined],
    ['pnp-id', undefined],
    ['alert-level', undefined],
  ])('of %s', (name, hex) => {
    const { type } = adoptedCharacteristics.find((each) => each.name === name)!;
    const bytes = validRange(type);
    expect(bytes === undefined ? undefined : toHex(bytes)).toBe(hex);
  });

  test('of a float32: IEEE 754 single, least significant octet first', () => {
    const type: FloatType = {
      kind: 'float',
      format: 'float32',
      unit: 0x2701,
      range: { min: rational(-1, 4), max: rational(1, 10) },
      step: undefined,
    };
    const expected = new DataView(new ArrayBuffer(8));
    expected.setFloat32(0, -0.25, true);
    expected.setFloat32(4, 0.1, true);
    expect(toHex(validRange(type)!)).toBe(toHex(new Uint8Array(expected.buffer)));
  });

  test('both ends are values of the type that the contract allows', () => {
    const bounded = fc.oneof(
      arbitraryInteger.filter((type) => type.bounded),
      arbitraryFloat.filter((type) => type.range !== undefined),
    );
    fc.assert(
      fc.property(bounded.filter(isInhabited), (type) => {
        const bytes = validRange(type)!;
        const half = bytes.length / 2;
        for (const end of [bytes.slice(0, half), bytes.slice(half)]) {
          const coded = decode(type, end);
          expect(coded.ok && checkCoded(type, coded.value)).toBeUndefined();
        }
      }),
    );
  });

  test('a range that no code lies in is left out', () => {
    const type = integer(false, 8, { scale: decimal(1), bounded: true });
    const between = { ...type, range: { min: rational(1), max: rational(2) } };
    expect(validRange(between)).toBeUndefined();
  });
});

// Every adopted format is a value type as it stands; this compiles only if it is.
test('adopted formats are value types', () => {
  const types: readonly ValueType[] = adoptedCharacteristics.map(({ type }) => type);
  expect(types.every((type) => presentationFormat(type) !== undefined || type.kind === 'integer')).toBe(true);
});
