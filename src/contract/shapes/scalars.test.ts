import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { rational } from '../../base/rational.ts';
import { decimal, hexBytes, id, line, positive, text, truth, uuid, whole, word } from './scalars.ts';

describe('text', () => {
  it.each([
    ['Wave tank', 'Wave tank'],
    ['"1.0"', '1.0'],
    ["'true'", 'true'],
    ['yes', 'yes'],
    ['"a\\tb"', 'a\tb'],
  ])('reads %s', (written, value) => {
    expect(decodeWith(text(40), written)).toMatchObject({ value, codes: [] });
  });

  it.each(['1.0', '0x10', 'true', '.nan'])('refuses %s without quotes, and its fix adds them', (written) => {
    const { value, codes, found } = decodeWith(text(40), written);
    expect([value, codes]).toEqual([undefined, ['needs-quotes']]);
    expect(decodeWith(text(40), found[0]!.fixes[0]!.edits[0]!.text)).toMatchObject({ value: written, codes: [] });
  });

  it.each(['~', 'null', '[a]', '{a: b}'])('refuses %s', (written) => {
    expect(decodeWith(text(40), written).codes).toEqual(['wrong-kind']);
  });

  it('counts octets of UTF-8, not characters', () => {
    expect(decodeWith(text(4), 'éé').codes).toEqual([]);
    expect(decodeWith(text(3), 'éé').codes).toEqual(['text-length']);
    expect(decodeWith(text(4), '🌊').codes).toEqual([]);
    expect(decodeWith(text(4), '""').codes).toEqual(['text-length']);
    expect(decodeWith(text(4, 0), '""')).toMatchObject({ value: '', codes: [] });
  });
});

describe('line', () => {
  it.each(['"a\\nb"', '"\\0"', '"\\x9f"', '"\\ud800"', '|\n  a\n  b\n'])(
    'refuses what does not show: %j',
    (written) => {
      expect(decodeWith(line(40), written).codes).toEqual(['unprintable-character']);
    },
  );

  it('takes letters, signs and emoji of every script', () => {
    expect(decodeWith(line(40), '"Größe \u03a9 🌊 水"').value).toBe('Größe Ω 🌊 水');
  });
});

describe('text with line ends', () => {
  it('is taken, but for half a character', () => {
    expect(decodeWith(text(40), '"a\\nb"').value).toBe('a\nb');
    expect(decodeWith(text(40), '"a\\udc00"').codes).toEqual(['unprintable-character']);
  });
});

describe('word', () => {
  const phy = word(['1M', '2M', 'coded-s2'], 'a PHY');

  it('reads a word, quoted or not', () => {
    expect(decodeWith(phy, '2M').value).toBe('2M');
    expect(decodeWith(phy, '"2M"').value).toBe('2M');
  });

  it('offers the nearest word as a fix', () => {
    const { value, found } = decodeWith(phy, 'Coded_S2');
    expect(value).toBeUndefined();
    expect(found.map(({ code, hint, fixes }) => [code, hint, fixes[0]?.edits[0]?.text])).toEqual([
      ['unknown-word', 'write `coded-s2`', 'coded-s2'],
    ]);
  });

  it('lists the words when none is near', () => {
    expect(decodeWith(phy, 'something').found[0]?.hint).toBe('write `1M`, `2M` or `coded-s2`');
  });
});

describe('numbers', () => {
  it.each([
    ['0.1', rational(1, 10)],
    ['-0.25', rational(-1, 4)],
    ['1e-3', rational(1, 1000)],
    ['0x1F', rational(31)],
    ['+2', rational(2)],
    ['18446744073709551615', rational(18446744073709551615n)],
    ['0.30000000000000004', rational(30000000000000004n, 100000000000000000n)],
  ])('reads %s exactly', (written, value) => {
    expect(decodeWith(decimal, written)).toMatchObject({ value, codes: [] });
  });

  it.each([
    ['0o17', 'not-an-exact-number'],
    ['.inf', 'not-an-exact-number'],
    ['.nan', 'not-an-exact-number'],
    ['1e999', 'not-an-exact-number'],
    ['1,5', 'wrong-kind'],
    ['"5"', 'wrong-kind'],
    ['five', 'wrong-kind'],
  ])('refuses %s', (written, code) => {
    expect(decodeWith(decimal, written).codes).toEqual([code]);
  });

  it('wants a positive number above zero', () => {
    expect(decodeWith(positive, '0.001').codes).toEqual([]);
    expect(decodeWith(positive, '0').codes).toEqual(['not-above-zero']);
    expect(decodeWith(positive, '-1').codes).toEqual(['not-above-zero']);
  });

  it('holds whole numbers to their bounds, both included', () => {
    const mtu = whole(23, 517);
    expect(['23', '517', '22', '518', '23.5', '2.3e1'].map((written) => decodeWith(mtu, written).codes[0])).toEqual([
      undefined,
      undefined,
      'out-of-bounds',
      'out-of-bounds',
      'not-a-whole-number',
      undefined,
    ]);
    expect(decodeWith(whole(0, 0xffff, { hex: true }), '70000').found[0]?.message).toBe(
      '`it` is 70000, but 0x0000 to 0xFFFF is allowed',
    );
    expect(decodeWith(whole(-127, 127, { unit: 'dBm' }), '200').found[0]?.message).toBe(
      '`it` is 200, but -127 to 127 dBm is allowed',
    );
  });
});

describe('truth', () => {
  it('reads true and false only', () => {
    expect(decodeWith(truth, 'true').value).toBe(true);
    expect(decodeWith(truth, 'False').value).toBe(false);
    for (const written of ['yes', 'on', '1', '"true"'])
      expect(decodeWith(truth, written).codes).toEqual(['wrong-kind']);
  });
});

describe('id', () => {
  it.each(['a', 'water-level', 'x9', 'a'.repeat(32)])('reads %s', (written) => {
    expect(decodeWith(id, written)).toMatchObject({ value: written, codes: [] });
  });

  it.each([
    ['Tank', 'tank'],
    ['waterLevel', 'water-level'],
    ['water_level', 'water-level'],
    ['9lives', 'lives'],
    ['"water level "', 'water-level'],
    ['ab-'.repeat(20), 'ab-ab-ab-ab-ab-ab-ab-ab-ab-ab-ab'],
    ['5', undefined],
    ['true', undefined],
    ['"é"', undefined],
  ])('refuses %s and suggests %s', (written, suggestion) => {
    const { codes, found } = decodeWith(id, written);
    expect(codes).toEqual(['id-form']);
    expect(found[0]?.fixes[0]?.edits[0]?.text).toBe(suggestion);
    if (suggestion !== undefined) expect(decodeWith(id, suggestion).value).toBe(suggestion);
  });
});

describe('uuid', () => {
  it.each([
    ['0x180F', '180F'],
    ['"0x180f"', '180F'],
    ['6B1D0000-0F5E-4C3A-9A77-2F0C5B8E41D0', '6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0'],
    // Core Vol 3 Part B 2.5.1: the long form of a 16-bit UUID.
    ['0000180f-0000-1000-8000-00805f9b34fb', '180F'],
  ])('reads %s', (written, value) => {
    expect(decodeWith(uuid, written)).toMatchObject({ value, codes: [] });
  });

  it.each(['180F', '1809', '0x180', '0x1180F', '6b1d00000f5e4c3a9a772f0c5b8e41d0', '{a: b}', 'battery'])(
    'refuses %s',
    (written) => {
      expect(decodeWith(uuid, written).value).toBeUndefined();
    },
  );

  it('offers 0x for four bare digits, which may be a decimal number', () => {
    expect(decodeWith(uuid, '1809').found[0]?.fixes[0]?.edits[0]?.text).toBe('0x1809');
    expect(decodeWith(uuid, '180f').found[0]?.hint).toBe('write `0x180F`');
  });
});

describe('hexBytes', () => {
  it.each([
    ['"01 a0"', [1, 0xa0]],
    ['01:A0:ff', [1, 0xa0, 0xff]],
    ['""', []],
  ])('reads %s', (written, value) => {
    expect([...decodeWith(hexBytes(4), written).value!]).toEqual(value);
  });

  it.each([
    ['"012"', 'hex-form'],
    ['0g', 'hex-form'],
    ['0102', 'needs-quotes'],
    ['"0102030405"', 'out-of-bounds'],
  ])('refuses %s', (written, code) => {
    expect(decodeWith(hexBytes(4), written).codes).toEqual([code]);
  });
});
