import { describe, expect, it } from 'vitest';
import { benchWith } from '../../../test/support/contract-text.ts';
import { pointing } from '../../../test/support/findings.ts';
import { rational } from '../../base/rational.ts';
import type { ValueType } from '../../values/type.ts';
import { everyCharacteristic } from '../model.ts';
import { parseContract } from '../parse.ts';

/** The type of a characteristic with these keys; its access is read. */
function typeOf(keys: string): ValueType {
  const { value, findings } = parseContract(benchWith(`id: it, access: [read], ${keys}`));
  expect(findings).toEqual([]);
  return everyCharacteristic(value!)[0]!.characteristic.type;
}

/** Codes of what is found with these keys. */
function codesOf(keys: string): readonly string[] {
  return parseContract(benchWith(`id: it, access: [read], ${keys}`)).findings.map(({ code }) => code);
}

describe('integers', () => {
  it.each([
    ['uint2', 0n, 3n],
    ['uint4', 0n, 15n],
    ['uint8', 0n, 255n],
    ['uint12', 0n, 4095n],
    ['uint16', 0n, 65_535n],
    ['uint24', 0n, 16_777_215n],
    ['uint32', 0n, 4_294_967_295n],
    ['uint40', 0n, 1_099_511_627_775n],
    ['uint48', 0n, 281_474_976_710_655n],
    ['uint64', 0n, 18_446_744_073_709_551_615n],
    ['uint128', 0n, 2n ** 128n - 1n],
    ['sint8', -128n, 127n],
    ['sint12', -2048n, 2047n],
    ['sint16', -32_768n, 32_767n],
    ['sint24', -8_388_608n, 8_388_607n],
    ['sint32', -2_147_483_648n, 2_147_483_647n],
    ['sint40', -549_755_813_888n, 549_755_813_887n],
    ['sint48', -140_737_488_355_328n, 140_737_488_355_327n],
    ['sint64', -(2n ** 63n), 2n ** 63n - 1n],
    ['sint128', -(2n ** 127n), 2n ** 127n - 1n],
  ])('%s holds %d to %d when no range is given', (word, min, max) => {
    expect(typeOf(`type: ${word}`)).toMatchObject({
      kind: 'integer',
      bounded: false,
      range: { min: rational(min), max: rational(max) },
    });
  });

  it('scales its full range, the other way round for a negative multiplier', () => {
    expect(typeOf('type: uint8, scale: { multiplier: -2, decimal: -1, binary: 1 }')).toMatchObject({
      range: { min: rational(-102), max: rational(0) },
    });
  });

  it('keeps range, step and unit exactly', () => {
    expect(
      typeOf('type: sint16, scale: { decimal: -2 }, unit: degree celsius, range: [-40, 85.5], step: 0.1'),
    ).toMatchObject({
      bounded: true,
      unit: 0x272f,
      range: { min: rational(-40), max: rational(171, 2) },
      step: rational(1, 10),
    });
  });

  it('takes a hex special code for a bit pattern, a decimal one for a number', () => {
    expect(typeOf('type: sint16, special: { 0x8000: unknown, -1: none, 32767: open }')).toMatchObject({
      special: [
        { code: -32_768n, name: 'unknown' },
        { code: -1n, name: 'none' },
        { code: 32_767n, name: 'open' },
      ],
    });
    expect(codesOf('type: sint16, special: { 32768: unknown }')).toEqual(['code-too-wide']);
    expect(codesOf('type: sint8, special: { 0x100: unknown }')).toEqual(['code-too-wide']);
    expect(codesOf('type: uint8, special: { 255: unknown, 0xFF: none }')).toEqual(['duplicate-code']);
  });

  it('refuses a range without a code', () => {
    expect(codesOf('type: uint8, range: [0.2, 0.8]')).toEqual(['range-without-value']);
    expect(codesOf('type: uint8, range: [256, 300]')).toEqual(['range-without-value']);
    expect(codesOf('type: uint8, range: [0, 300]')).toEqual([]);
  });

  it('refuses a scale of nothing', () => {
    expect(codesOf('type: uint8, scale: { multiplier: 0 }')).toEqual(['out-of-bounds']);
    expect(codesOf('type: uint8, scale: { multiplier: 11 }')).toEqual(['out-of-bounds']);
    expect(codesOf('type: uint8, scale: { decimal: 128 }')).toEqual(['out-of-bounds']);
  });
});

describe('other types', () => {
  it('floats have unit, range and step', () => {
    expect(typeOf('type: medfloat16, unit: pascal, range: [0, 2e5]')).toEqual({
      kind: 'float',
      format: 'medfloat16',
      unit: 0x2724,
      range: { min: rational(0), max: rational(200_000) },
      step: undefined,
    });
  });

  it('texts and octets have a length', () => {
    expect(typeOf('type: utf8, length: 8')).toEqual({ kind: 'text', encoding: 'utf8', minLength: 8, maxLength: 8 });
    expect(typeOf('type: utf16, length: [0, 20]')).toEqual({
      kind: 'text',
      encoding: 'utf16',
      minLength: 0,
      maxLength: 20,
    });
    expect(typeOf('type: bytes, length: [1, 512]')).toEqual({ kind: 'bytes', minLength: 1, maxLength: 512 });
    expect(codesOf('type: bytes')).toEqual(['length-missing']);
    expect(codesOf('type: bytes, length: 513')).toEqual(['out-of-bounds']);
    expect(codesOf('type: bytes, length: [4, 2]')).toEqual(['bounds-reversed']);
  });

  it('enumerations keep their order', () => {
    expect(typeOf('type: { enum: uint16, names: { 5: red, 0x1: green } }')).toEqual({
      kind: 'enum',
      bits: 16,
      names: [
        { code: 5n, name: 'red' },
        { code: 1n, name: 'green' },
      ],
    });
  });

  it('flags name bits within the width', () => {
    expect(typeOf('type: { flags: uint24, names: { 0: a, 23: b } }')).toEqual({
      kind: 'flags',
      bits: 24,
      names: [
        { bit: 0, name: 'a' },
        { bit: 23, name: 'b' },
      ],
    });
    expect(codesOf('type: { flags: uint8, names: { 8: a } }')).toEqual(['code-too-wide']);
    expect(codesOf('type: { flags: uint8, names: { -1: a } }')).toEqual(['code-too-wide']);
  });

  it('structs nest, and each field has its own shape', () => {
    const type = typeOf(
      'type: { struct: [{ id: at, type: { struct: [{ id: x, type: sint12 }, { id: y-two, type: uint4 }] } }, { id: note, label: A note, type: utf8, length: [0, 4] }] }',
    );
    expect(type).toMatchObject({
      kind: 'struct',
      fields: [
        { id: 'at', label: 'At', type: { kind: 'struct', fields: [{ id: 'x' }, { id: 'y-two', label: 'Y two' }] } },
        { id: 'note', label: 'A note', type: { kind: 'text', maxLength: 4 } },
      ],
    });
  });

  it('arrays give what stands beside them to each element', () => {
    expect(
      typeOf('type: { array: sint16, count: [0, 8] }, scale: { decimal: -1 }, unit: volt, range: [-10, 10]'),
    ).toMatchObject({
      kind: 'array',
      minCount: 0,
      maxCount: 8,
      element: { kind: 'integer', scale: { decimal: -1 }, unit: 0x2728, range: { min: rational(-10) } },
    });
    expect(typeOf('type: { array: utf8, count: 3 }, length: 4')).toMatchObject({
      element: { kind: 'text', maxLength: 4 },
    });
    expect(typeOf('type: { array: { array: uint8, count: 3 }, count: 2 }')).toMatchObject({
      element: { kind: 'array' },
    });
  });

  it('refuses elements without one number of whole octets', () => {
    expect(codesOf('type: { array: uint12, count: 3 }')).toEqual(['array-element']);
    expect(codesOf('type: { array: utf8, count: 3 }, length: [0, 4]')).toEqual(['array-element']);
    expect(codesOf('type: { array: { array: uint8, count: [1, 2] }, count: 2 }')).toEqual(['array-element']);
    expect(codesOf('type: { array: uint8, count: 0 }')).toEqual(['out-of-bounds']);
  });
});

describe('keys that a type does not have', () => {
  it.each([
    ['boolean', 'unit: volt'],
    ['boolean', 'range: [0, 1]'],
    ['float32', 'scale: { decimal: -1 }'],
    ['float32', 'special: { 0: a }'],
    ['uint8', 'length: 1'],
    ['utf8, length: 4', 'range: [0, 1]'],
    ['{ enum: uint8, names: { 0: a } }', 'unit: volt'],
    ['{ flags: uint8, names: { 0: a } }', 'scale: { decimal: -1 }'],
    ['{ struct: [{ id: a, type: uint8 }] }', 'step: 1'],
    ['{ array: boolean, count: 3 }', 'unit: volt'],
  ])('type: %s has no %s', (type, key) => {
    expect(codesOf(`type: ${type}, ${key}`)).toEqual(['key-not-for-type']);
  });

  it('are told at the key, in a field too', () => {
    const fields = '[{ id: a, type: boolean, unit: volt }, { id: b, type: uint8, length: 3 }]';
    expect(pointing(benchWith(`id: it, access: [read], type: { struct: ${fields} }`))).toEqual([
      'key-not-for-type unit',
      'key-not-for-type length',
    ]);
  });
});

describe('structs with mistakes', () => {
  it('tell all of them', () => {
    const fields =
      '[{ id: a, type: utf8, length: [0, 3] }, { id: b, type: uint9 }, { id: c, type: uint8 }, { id: c, type: uint8 }]';
    expect(pointing(benchWith(`id: it, access: [read], type: { struct: ${fields} }`))).toEqual([
      'varying-field-not-last [0, 3]',
      'unknown-word uint9',
      'duplicate-field c',
    ]);
  });

  it('need a field', () => {
    expect(codesOf('type: { struct: [] }')).toEqual(['list-length']);
  });
});
