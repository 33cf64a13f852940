import { describe, expect, it } from 'vitest';
import { benchWith } from '../../../test/support/contract-text.ts';
import { pointing } from '../../../test/support/findings.ts';
import { toHex } from '../../base/bytes.ts';
import { everyCharacteristic } from '../model.ts';
import { parseContract } from '../parse.ts';

const struct =
  '{ struct: [{ id: gain, type: sint16, scale: { decimal: -4 }, range: [0.5, 2] }, { id: on, type: boolean }] }';
const flags = '{ flags: uint8, names: { 0: hot, 3: dry, 7: open } }';
const dye = '{ enum: uint8, names: { 0: none, 1: red, 7: blue } }';

const read = (type: string, start: string) =>
  parseContract(benchWith(`id: it, access: [read], type: ${type}, start: ${start}`));

describe('a start value', () => {
  it.each([
    ['boolean', 'true', '01'],
    ['uint16, scale: { decimal: -2 }', '0.5', '3200'],
    ['sint16, scale: { decimal: -2 }', '-40', '60f0'],
    ['sint24', '-1', 'ffffff'],
    ['uint64', '18446744073709551615', 'ffffffffffffffff'],
    ['uint64', '0x0102030405060708', '0807060504030201'],
    ['sint16, special: { 0x8000: unknown }', 'unknown', '0080'],
    ['float32', '0.1', 'cdcccc3d'],
    ['float64', '-2', '00000000000000c0'],
    ['float32', 'NaN', '0000c07f'],
    // IEEE 11073-20601: 114 is 0x0072, -16.2 is 0xFF5E.
    ['medfloat16', '114', '7200'],
    ['medfloat16', '-16.2', '5eff'],
    ['medfloat16', 'NRes', '0008'],
    ['utf8, length: [0, 8]', 'Café', '436166c3a9'],
    ['utf8, length: [0, 8]', '""', ''],
    ['utf16, length: [0, 8]', '"é"', 'e900'],
    ['bytes, length: 2', '"01 a0"', '01a0'],
    [dye, 'blue', '07'],
    [flags, '[hot, open]', '81'],
    [flags, '[]', '00'],
    [struct, '{ gain: 1.5, on: true }', '983a01'],
    [struct, '{ on: false, gain: 2 }', '204e00'],
    ['{ array: sint16, count: [0, 4] }', '[1, -1]', '0100ffff'],
  ])('of %s: %s is %s', (type, start, hex) => {
    const { value, findings } = read(type, start);
    expect(findings).toEqual([]);
    expect(toHex(everyCharacteristic(value!)[0]!.characteristic.start)).toBe(hex);
  });

  it.each([
    ['boolean', '1', 'wrong-kind'],
    ['boolean', '"true"', 'wrong-kind'],
    ['uint8', '256', 'value-refused'],
    ['uint8', '-1', 'value-refused'],
    ['uint8, range: [0, 4]', '5', 'value-refused'],
    ['uint8', 'five', 'wrong-kind'],
    ['uint8', '', 'wrong-kind'],
    ['uint8, scale: { decimal: -1 }', '0.55', 'value-rounded'],
    ['sint16, special: { 0x8000: unknown }', 'unknwn', 'unknown-word'],
    ['sint16, special: { 0x8000: unknown }', '-32768', 'value-refused'],
    ['float32, range: [0, 1]', '1.5', 'value-refused'],
    ['float32, range: [0, 1]', 'NaN', 'wrong-kind'],
    ['medfloat16', '1e30', 'value-refused'],
    ['utf8, length: [0, 4]', 'Cafés', 'value-refused'],
    ['utf8, length: [2, 4]', 'a', 'value-refused'],
    ['utf8, length: [0, 4]', '12', 'needs-quotes'],
    ['bytes, length: 2', '"01"', 'value-refused'],
    ['bytes, length: 2', '"0x01"', 'hex-form'],
    [dye, 'green', 'unknown-word'],
    [dye, '1', 'wrong-kind'],
    [flags, 'hot', 'wrong-kind'],
    [flags, '[hot, hot]', 'repeated-entry'],
    [flags, '[wet]', 'unknown-word'],
    [struct, '{ gain: 1 }', 'missing-key'],
    [struct, '{ gain: 1, on: true, of: 1 }', 'unknown-key'],
    [struct, '[1, true]', 'wrong-kind'],
    [struct, '{ gain: 3, on: true }', 'value-refused'],
    ['{ array: uint8, count: 2 }', '[1]', 'value-refused'],
    ['{ array: uint8, count: 2 }', '[1, 2, 3]', 'list-length'],
    ['{ array: uint8, count: 2 }', '[1, 256]', 'value-refused'],
    ['{ array: uint8, count: 2 }', '1', 'wrong-kind'],
  ])('of %s is not %s', (type, start, code) => {
    expect(read(type, start).findings.map((finding) => finding.code)).toEqual([code]);
  });

  it('is refused at the very part', () => {
    expect(pointing(benchWith(`id: it, access: [read], type: ${struct}, start: { gain: 1.00005, on: yes }`))).toEqual([
      'value-rounded 1.00005',
      'wrong-kind yes',
    ]);
    expect(pointing(benchWith('id: it, access: [read], type: { array: uint8, count: 3 }, start: [1, 256, 3]'))).toEqual(
      ['value-refused 256'],
    );
  });

  it('is told with found and allowed value', () => {
    const { findings } = read('uint16, scale: { decimal: -2 }, unit: hertz, range: [0, 4]', '5');
    expect(findings[0]?.message).toBe('`start` cannot be held: 5 Hz is outside 0 to 4 Hz');
  });
});

describe('a safe value', () => {
  it('is held to the type like a start value', () => {
    const text = benchWith(
      'id: it, access: [write], type: uint8, range: [0, 4], on-link-loss: { value: 9, within: 1 s }',
    );
    expect(pointing(text)).toEqual(['value-refused 9']);
    const { value } = parseContract(text.replace('value: 9', 'value: 3'));
    expect(everyCharacteristic(value!)[0]?.characteristic.onLinkLoss).toEqual({
      kind: 'set',
      raw: Uint8Array.of(3),
      within: 1_000_000,
    });
  });
});
