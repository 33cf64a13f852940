import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bytesType, integer, utf8 } from '../../test/support/contract-builder.ts';
import { boardTable, speedType, valueOf } from '../../test/support/board-table.ts';
import { toHex } from '../base/bytes.ts';
import { rational } from '../base/rational.ts';
import { checkValue } from '../values/check.ts';
import { decode, encode } from '../values/codec.ts';
import type { Coded, FloatType, ValueType } from '../values/type.ts';
import { defaultCoded } from '../values/start.ts';
import type { RigValue } from './model.ts';
import { asNumber, coerce, decoded, RigMistake } from './rig-value.ts';

const table = boardTable();
const typeOf = (id: string): ValueType => valueOf(table, id).type;

function octets(type: ValueType, value: RigValue, now: Coded = defaultCoded(type)): string {
  const result = encode(type, coerce(type, value, now));
  if (!result.ok) throw new Error(result.refusal.message);
  return toHex(result.value);
}

const unknown = integer(true, 16, { special: [{ code: -32768n, name: 'unknown' }] });
const anyFloat: FloatType = { kind: 'float', format: 'float64', unit: 0x2700, range: undefined, step: undefined };
const unitFloat: FloatType = { ...anyFloat, format: 'float32', range: { min: rational(0), max: rational(1) } };

describe('what a rig sets', () => {
  it.each([
    ['rounded to the nearest code', speedType, 1.254, '7d00'],
    ['half to even: 0.125 Hz is between 12 and 13', speedType, 0.125, '0c00'],
    ['held at the upper bound', speedType, 99, '9001'],
    ['held at the lower bound', speedType, -1, '0000'],
    ['a boolean as a number', typeOf('lamp'), 1, '01'],
    ['a boolean', typeOf('lamp'), false, '00'],
    ['a name', typeOf('dye'), 'rhodamine', '02'],
    ['a code', typeOf('dye'), 1, '01'],
    ['flags by name', typeOf('modes'), ['run', 'log'], '05'],
    ['flags as an object', typeOf('modes'), { run: false, log: true }, '04'],
    ['flags as bits, unnamed ones dropped', typeOf('modes'), 0xff, '05'],
    ['a text', utf8(5), 'hello', '68656c6c6f'],
    ['a text cut before a character that does not fit', utf8(5), 'ab水水', '6162e6b0b4'],
    ['a text filled with blanks', utf8(5, 4), 'ab', '61622020'],
    ['octets, cut and filled', bytesType(3, 3), [1, 2], '010200'],
    ['an array, cut', typeOf('samples'), [1, 2, 3, 4, 5], '0100020003000400'],
    ['an array, filled', typeOf('samples'), [-1], 'ffff000000000000'],
    ['no number, where there is a code for that', unknown, Number.NaN, '0080'],
    ['a special value by name', unknown, 'unknown', '0080'],
    ['a float', unitFloat, 0.5, '0000003f'],
    ['a float held in its range', unitFloat, 2, '0000803f'],
    ['a float that is no number', anyFloat, Number.POSITIVE_INFINITY, '000000000000f07f'],
  ] as const)('%s', (_, type, value, hex) => {
    expect(octets(type, value)).toBe(hex);
  });

  it('leaves out fields of a struct that keep their value', () => {
    const type = typeOf('setup');
    const now = decoded(type, Uint8Array.of(5, 0, 9));
    expect(octets(type, { points: 3 }, now)).toBe('050003');
    expect(octets(type, { gain: -1000 }, now)).toBe('9cff09');
  });

  it.each([
    ['a text for a number that reads as none', speedType, 'fast'],
    ['a list for a number', speedType, [1]],
    ['no number without a code for that', speedType, Number.NaN],
    ['a name that is not there', typeOf('dye'), 'ink'],
    ['a code that has no name', typeOf('dye'), 9],
    ['a flag that is not there', typeOf('modes'), ['walk']],
    ['a number for a text', utf8(5), 3],
    ['a field that is not there', typeOf('setup'), { gian: 1 }],
    ['a number for a struct', typeOf('setup'), 1],
    ['a number for an array', typeOf('samples'), 1],
  ] as const)('is the rig’s mistake: %s', (_, type, value) => {
    expect(() => octets(type, value)).toThrow(RigMistake);
  });

  it('is always something that the contract allows', () => {
    const ids = ['count', 'speed', 'level', 'total', 'ratio'];
    fc.assert(
      fc.property(fc.constantFrom(...ids), fc.double({ noNaN: true, noDefaultInfinity: true }), (id, x) => {
        const type = typeOf(id);
        const bytes = encode(type, coerce(type, x, defaultCoded(type)));
        expect(bytes.ok && checkValue(type, bytes.value)).toBeUndefined();
      }),
    );
  });
});

describe('what a rig reads', () => {
  it.each([
    ['speed', '7d00', 1.25],
    ['level', 'f0d8', -1],
    ['lamp', '01', 1],
    ['dye', '02', 2],
    ['modes', '05', 5],
  ])('%s', (id, hex, number) => {
    const type = typeOf(id);
    const coded = decode(type, Uint8Array.from(Buffer.from(hex, 'hex')));
    expect(coded.ok && asNumber(type, coded.value)).toBe(number);
  });

  it('is not a number for a special code, and no number at all for a text', () => {
    expect(asNumber(unknown, { kind: 'integer', value: -32768n })).toBeNaN();
    expect(() => asNumber(utf8(5), { kind: 'text', value: '5' })).toThrow(RigMistake);
  });
});
