import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { fromHex } from '../base/bytes.ts';
import { rational } from '../base/rational.ts';
import { showBytes, showPhysical, typeName } from './show.ts';
import type { EnumType, FlagsType, FloatFormat, IntegerType, StructType, UnitCode, ValueType } from './type.ts';

function number(bits: 8 | 12 | 16, decimal: number, unit: UnitCode): IntegerType {
  const scale = { multiplier: 1, decimal, binary: 0 };
  return integer(false, bits, { scale, unit, special: [{ code: 0xffffn, name: 'unknown' }] });
}

const dye: EnumType = {
  kind: 'enum',
  bits: 8,
  names: [
    { code: 0n, name: 'none' },
    { code: 1n, name: 'fluorescein' },
  ],
};
const lamps: FlagsType = {
  kind: 'flags',
  bits: 8,
  names: [
    { bit: 0, name: 'red' },
    { bit: 4, name: 'green, deep' },
  ],
};
const note: ValueType = { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 20 };
const octets: ValueType = { kind: 'bytes', minLength: 0, maxLength: 8 };
const calibration: StructType = {
  kind: 'struct',
  fields: [
    { id: 'gain', label: 'Gain', type: number(8, 0, 0x2700) },
    { id: 'offset', label: 'Offset', type: number(16, -1, 0x2701) },
    { id: 'points', label: 'Points', type: number(8, 0, 0x2700) },
  ],
};

function float(format: FloatFormat): ValueType {
  return { kind: 'float', format, unit: 0x2722, range: undefined, step: undefined };
}

function list(element: ValueType, count: number): ValueType {
  return { kind: 'array', element, minCount: count, maxCount: count };
}

describe('octets in words', () => {
  it.each<[string, ValueType, string]>([
    ['3200', number(16, -2, 0x2722), '0.5 Hz'],
    ['ffff', number(16, -2, 0x2722), 'unknown'],
    ['07', number(8, 0, 0x2700), '7'],
    ['01', { kind: 'boolean' }, 'true'],
    ['00', { kind: 'boolean' }, 'false'],
    ['01', dye, 'fluorescein'],
    ['07', dye, '7 (no name)'],
    ['11', lamps, 'red, green, deep'],
    ['00', lamps, 'none'],
    ['03', lamps, 'red, bit 1'],
    ['cdcccc3d', float('float32'), '0.1 Hz'],
    ['0000c07f', float('float32'), 'NaN'],
    ['000080ff', float('float32'), '-INFINITY'],
    ['9a9999999999b93f', float('float64'), '0.1 Hz'],
    ['c8e0', float('medfloat16'), '2.00 Hz'],
    ['5eff', float('medfloat16'), '-16.2 Hz'],
    ['2420', float('medfloat16'), '3600 Hz'],
    ['0008', float('medfloat16'), 'NRes'],
    ['68c3a9', note, '"hé"'],
    ['', note, '""'],
    ['0a', note, '"\\n"'],
    ['0a03', octets, '0a 03'],
    ['', octets, 'no octets'],
    ['01000002', calibration, 'gain 1, offset 0 m, points 2'],
    ['320064000a00', list(number(16, -2, 0x2722), 3), '[0.5, 1, 0.1] Hz'],
    ['0102', list(number(8, 0, 0x2700), 2), '[1, 2]'],
    ['0100000202000003', list(calibration, 2), '[(gain 1, offset 0 m, points 2), (gain 2, offset 0 m, points 3)]'],
    ['1101', list(lamps, 2), '[(red, green, deep), red]'],
  ])('%s', (hex, type, shown) => {
    expect(showBytes(type, fromHex(hex)!)).toBe(shown);
  });

  it('are hex digits with the reason when they are no value', () => {
    expect(showBytes(number(16, -2, 0x2722), fromHex('0102ff')!)).toBe('0102ff (3 octets instead of 2)');
    expect(showBytes(number(16, -2, 0x2722), fromHex('')!)).toBe('no octets (0 octets instead of 2)');
    const struct: StructType = { kind: 'struct', fields: [{ id: 'on', label: 'On', type: { kind: 'boolean' } }] };
    expect(showBytes(struct, fromHex('07')!)).toBe('07 (`on`: 7 is neither 0 nor 1)');
  });
});

describe('values as typed', () => {
  const typed = { unit: false };
  it('have no units, all digits and quotes only where they are needed', () => {
    expect(showPhysical(number(16, -2, 0x2722), { kind: 'number', value: rational(1, 2) }, typed)).toBe('0.5');
    const fine = { ...number(16, 0, 0x2722), scale: { multiplier: 1, decimal: 0, binary: -20 } };
    const value = rational(12345, 2 ** 20);
    expect(showPhysical(fine, { kind: 'number', value }, typed)).toBe('0.01177310943603515625');
    expect(showPhysical(fine, { kind: 'number', value })).toBe('≈0.0117731094360352 Hz');
    expect(showPhysical(note, { kind: 'text', value: ' a "b" ' }, typed)).toBe(' a "b" ');
    expect(showPhysical(lamps, { kind: 'flags', set: ['red', 'green, deep'], unnamed: 2n }, typed)).toBe(
      'red, "green, deep", bit 1',
    );
    expect(showPhysical(octets, { kind: 'bytes', value: Uint8Array.of(10, 3) }, typed)).toBe('0a03');
    expect(showPhysical(dye, { kind: 'choice', code: 7n, name: undefined }, typed)).toBe('7');
  });
});

describe('types in words', () => {
  it.each<[ValueType, string]>([
    [{ kind: 'boolean' }, 'boolean'],
    [number(12, 0, 0), 'uint12'],
    [{ ...number(16, 0, 0), signed: true }, 'sint16'],
    [float('medfloat32'), 'medfloat32'],
    [note, 'utf8'],
    [octets, 'bytes'],
    [dye, 'enum uint8'],
    [lamps, 'flags uint8'],
    [calibration, 'struct of 3'],
    [list(number(16, 0, 0), 8), 'array of 8 uint16'],
    [{ kind: 'array', element: calibration, minCount: 0, maxCount: 4 }, 'array of 0 to 4 struct of 3'],
  ])('%#: %s', (type, name) => {
    expect(typeName(type)).toBe(name);
  });
});
