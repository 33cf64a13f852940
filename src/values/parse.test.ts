import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer, utf8 } from '../../test/support/contract-builder.ts';
import { arbitraryType, arbitraryTyped } from '../../test/support/arbitrary-type.ts';
import { rational } from '../base/rational.ts';
import { parsePhysical, physicalFromDouble } from './parse.ts';
import { toCoded, toPhysical } from './physical.ts';
import { showPhysical } from './show.ts';
import type { EnumType, FlagsType, FloatType, Physical, StructType, ValueType } from './type.ts';

const paddle = integer(false, 16, {
  scale: { multiplier: 1, decimal: -2, binary: 0 },
  unit: 0x2722,
  range: [0, 4],
  special: [{ code: 0xffffn, name: 'not known' }],
});
const count = { ...paddle, unit: 0x2700, special: [] };
const depth = { ...paddle, unit: 0x2701, special: [] };
const volts: FloatType = { kind: 'float', format: 'medfloat16', unit: 0x2728, range: undefined, step: undefined };
const dye: EnumType = {
  kind: 'enum',
  bits: 8,
  names: [
    { code: 0n, name: 'none' },
    { code: 1n, name: 'fluorescein' },
    { code: 2n, name: 'Rhodamine B' },
    { code: 3n, name: '7' },
  ],
};
const lamps: FlagsType = {
  kind: 'flags',
  bits: 8,
  names: [
    { bit: 0, name: 'red' },
    { bit: 1, name: 'green' },
    { bit: 4, name: 'deep, blue' },
  ],
};
const note = utf8(40);
const octets: ValueType = { kind: 'bytes', minLength: 0, maxLength: 40 };
const calibration: StructType = {
  kind: 'struct',
  fields: [
    { id: 'gain', label: 'Gain', type: count },
    { id: 'offset', label: 'Offset', type: depth },
    { id: 'points', label: 'Points', type: count },
  ],
};

/** The value read, as a person types it; or the refusal's place and message. */
function reading(type: ValueType, text: string): string {
  const result = parsePhysical(type, text);
  if (result.ok) return showPhysical(type, result.value, { unit: false });
  expect(result.refusal.reason).toBe('type');
  return `${result.refusal.path}! ${result.refusal.message}`;
}

describe('numbers', () => {
  it.each([
    ['0.5', '0.5'],
    [' 0.5 ', '0.5'],
    ['0.5 Hz', '0.5'],
    ['0.5Hz', '0.5'],
    ['0.5 hertz', '0.5'],
    ['0.5 Hertz', '0.5'],
    ['.5', '0.5'],
    ['5e-1 Hz', '0.5'],
    ['-3', '-3'],
    ['0x1F', '31'],
    ['not known', 'not known'],
    ['Not Known', 'not known'],
  ])('%j', (text, shown) => {
    expect(reading(paddle, text)).toBe(shown);
  });

  it.each([
    ['5 kHz', "! the unit `kHz` is not the value's; allowed is `Hz`"],
    ['5 m', "! the unit `m` is not the value's; allowed is `Hz`"],
    ['0,5', '! `0,5` has a comma; the fraction stands behind a point'],
    ['abc', '! `abc` is no number; allowed are 0 to 4 Hz, not known'],
    ['', '! `` is no number; allowed are 0 to 4 Hz, not known'],
    ['--1', '! `--1` is no number; allowed are 0 to 4 Hz, not known'],
    ['1e999', '! `1e999` is no number; allowed are 0 to 4 Hz, not known'],
    ['1 2', "! the unit `2` is not the value's; allowed is `Hz`"],
  ])('not %j', (text, message) => {
    expect(reading(paddle, text)).toBe(message);
  });

  it('without a unit take none', () => {
    expect(reading(count, '3')).toBe('3');
    expect(reading(count, '3 Hz')).toBe("! the unit `Hz` is not the value's; allowed is none");
  });

  it('take the spellings of a unit that a keyboard has', () => {
    const acceleration = { ...count, unit: 0x2713 };
    for (const text of ['1 m/s²', '1 m/s^2', '1 m/s2', '1 metre per second squared']) {
      expect(reading(acceleration, text)).toBe('1');
    }
    expect(reading({ ...count, unit: 0x272f }, '21.5 degree celsius')).toBe('21.5');
    expect(reading({ ...count, unit: 0x27ad }, '54%')).toBe('54');
  });

  it('as floats have special values', () => {
    expect(reading(volts, 'nan')).toBe('NaN');
    expect(reading(volts, '+infinity')).toBe('+INFINITY');
    expect(reading(volts, 'NRes')).toBe('NRes');
    expect(reading({ ...volts, format: 'float32' }, 'NRes')).toBe(
      '! `NRes` is no number; allowed are any number, NaN, +INFINITY, -INFINITY',
    );
    expect(reading({ ...volts, range: { min: rational(0), max: rational(5) } }, 'x')).toBe(
      '! `x` is no number; allowed are 0 to 5 V',
    );
  });
});

describe('booleans, choices and flags', () => {
  it.each([
    ['true', 'true'],
    ['ON', 'true'],
    ['1', 'true'],
    ['false', 'false'],
    ['off', 'false'],
    ['0', 'false'],
    ['yes', '! `yes` is neither `true` (on, 1) nor `false` (off, 0)'],
    ['', '! `` is neither `true` (on, 1) nor `false` (off, 0)'],
  ])('boolean %j', (text, shown) => {
    expect(reading({ kind: 'boolean' }, text)).toBe(shown);
  });

  it.each([
    ['fluorescein', 'fluorescein'],
    ['Fluorescein', 'fluorescein'],
    ['rhodamine b', 'Rhodamine B'],
    ['1', 'fluorescein'],
    ['0x02', 'Rhodamine B'],
    // A name goes before a number that looks like it.
    ['7', '7'],
    ['9', '9'],
    [
      'fluorecein',
      '! `fluorecein` is no name; the nearest is `fluorescein`; allowed are 0 none, 1 fluorescein, 2 Rhodamine B, 3 7',
    ],
  ])('choice %j', (text, shown) => {
    expect(reading(dye, text)).toBe(shown);
  });

  it('take a name that is a number for the name', () => {
    expect(parsePhysical(dye, '7')).toEqual({ ok: true, value: { kind: 'choice', code: 3n, name: '7' } });
    expect(parsePhysical(dye, '9')).toEqual({ ok: true, value: { kind: 'choice', code: 9n, name: undefined } });
  });

  it.each([
    ['none', 'none'],
    ['', 'none'],
    ['red', 'red'],
    ['green, RED', 'red, green'],
    ['(red, green)', 'red, green'],
    ['red,red', 'red'],
    ['deep, blue', '"deep, blue"'],
    ['red, "deep, blue"', 'red, "deep, blue"'],
    ['0x13', 'red, green, "deep, blue"'],
    ['8', 'bit 3'],
    ['red, bit 7', 'red, bit 7'],
    ['bit 1', 'green'],
    ['red, blue', '! `blue` is no flag; allowed are none, red, green, deep, blue'],
    ['red, greeen', '! `greeen` is no flag; the nearest is `green`; allowed are none, red, green, deep, blue'],
    ['bit 8', '! `bit 8` is no flag; allowed are none, red, green, deep, blue'],
    ['(red', '! `(` is not closed'],
  ])('flags %j', (text, shown) => {
    expect(reading(lamps, text)).toBe(shown);
  });

  it('have a flag called none before no flags', () => {
    const type: FlagsType = { kind: 'flags', bits: 8, names: [{ bit: 2, name: 'none' }] };
    expect(parsePhysical(type, 'none')).toEqual({ ok: true, value: { kind: 'flags', set: ['none'], unnamed: 0n } });
    expect(showPhysical(type, { kind: 'flags', set: [], unnamed: 0n }, { unit: false })).toBe('0');
    expect(parsePhysical(type, '0')).toEqual({ ok: true, value: { kind: 'flags', set: [], unnamed: 0n } });
  });
});

describe('texts and octets', () => {
  it('are the line as it is, and hex digits', () => {
    expect(reading(note, '  two "words", ')).toBe('  two "words", ');
    expect(reading(note, '')).toBe('');
    expect(reading(octets, '0A 03:ff')).toBe('0a03ff');
    expect(reading(octets, '')).toBe('');
    expect(reading(octets, '0a0')).toBe('! `0a0` is no row of octets; allowed are pairs of hex digits');
  });
});

describe('structs', () => {
  it.each([
    ['gain=1, offset=0, points=2', 'gain 1, offset 0, points 2'],
    ['gain 1, offset 0 m, points 2', 'gain 1, offset 0, points 2'],
    ['points: 2 , gain:1,offset = -0.5m', 'gain 1, offset -0.5, points 2'],
    ['(gain=1, offset=0, points=2)', 'gain 1, offset 0, points 2'],
    ['gain=1, offset=0', '! field `points` is missing; allowed is `gain …, offset …, points …`'],
    ['gain=1, gain=2, points=3', '! field `gain` is given twice'],
    ['gian=1', '! `gian` is no field; the nearest is `gain`; allowed is `gain …, offset …, points …`'],
    ['1, 0, 2', '! `1` is no field; allowed is `gain …, offset …, points …`'],
    ['gain=1, offset=3 Hz, points=2', "offset! the unit `Hz` is not the value's; allowed is `m`"],
    ['gain=, offset=0, points=2', 'gain! `` is no number; allowed are 0 to 4'],
    ['', '! field `gain` is missing; allowed is `gain …, offset …, points …`'],
  ])('%j', (text, shown) => {
    expect(reading(calibration, text)).toBe(shown);
  });

  it('hold texts, flags, structs and arrays', () => {
    const type: StructType = {
      kind: 'struct',
      fields: [
        { id: 'at', label: 'At', type: calibration },
        { id: 'at-most', label: 'At most', type: { kind: 'array', element: depth, minCount: 0, maxCount: 4 } },
        { id: 'lamps', label: 'Lamps', type: lamps },
        { id: 'dye', label: 'Dye', type: dye },
        { id: 'note', label: 'Note', type: note },
      ],
    };
    const typed = 'at (gain 1, offset 0, points 2), at-most [1, 2.5], lamps (red, "deep, blue"), dye "7", note "a, b"';
    const shown = typed.replace('"7"', '7');
    expect(reading(type, typed)).toBe(shown);
    expect(reading(type, shown)).toBe(shown);
    expect(reading(type, 'note = plain words, dye=none, lamps=red, at-most=[], at=(gain=1,offset=0,points=2)')).toBe(
      'at (gain 1, offset 0, points 2), at-most [], lamps red, dye none, note "plain words"',
    );
    const named: StructType = {
      kind: 'struct',
      fields: [{ id: 'sign', label: 'Sign', type: { kind: 'enum', bits: 8, names: [{ code: 0n, name: ':' }] } }],
    };
    expect(reading(named, 'sign = ":"')).toBe('sign ":"');
    expect(reading(type, 'at 1')).toBe('at! `1` is no nested struct; allowed is `(id value, …)`');
    expect(reading(type, 'at-most 1')).toBe('at-most! `1` is no nested array; allowed is `[value, …]`');
    expect(reading(type, 'at (gain 1, offset x, points 2)')).toBe('at.offset! `x` is no number; allowed are 0 to 4 m');
    expect(reading(type, 'note "a\\x"')).toBe('note! `"a\\x"` is no text in quotes; allowed are the escapes of JSON');
  });
});

describe('refusals', () => {
  it('repeat no more of what was typed than a line holds', () => {
    expect(reading(count, 'x'.repeat(100_000))).toBe(`! \`${'x'.repeat(60)}…\` is no number; allowed are 0 to 4`);
  });
});

describe('arrays', () => {
  const list: ValueType = { kind: 'array', element: depth, minCount: 0, maxCount: 9 };
  it.each([
    ['[1, 2, 3]', '[1, 2, 3]'],
    ['1, 2, 3', '[1, 2, 3]'],
    ['[1 m, 2, 0.5m]', '[1, 2, 0.5]'],
    ['[1, 2] m', '[1, 2]'],
    ['[]', '[]'],
    ['', '[]'],
    ['[1, 2] Hz', '! `Hz` stands behind the array'],
    ['[1, x]', '[1]! `x` is no number; allowed are 0 to 4 m'],
    ['[1, 2', '! `[` is not closed'],
  ])('%j', (text, shown) => {
    expect(reading(list, text)).toBe(shown);
  });
});

describe('any type', () => {
  it('reads back exactly what it shows without units', () => {
    fc.assert(
      fc.property(arbitraryTyped(), ({ type, coded }) => {
        // The digits of an IEEE float are the fewest that are coded as it, not all that it has: see below.
        fc.pre(!hasBinaryFloat(type));
        const physical = toPhysical(type, coded);
        const shown = showPhysical(type, physical, { unit: false });
        expect(parsePhysical(type, shown)).toEqual({ ok: true, value: physical });
      }),
      { numRuns: 200 },
    );
  });

  it('codes what it reads as what it showed', () => {
    fc.assert(
      fc.property(arbitraryTyped(true), ({ type, coded }) => {
        const physical = toPhysical(type, coded);
        const read = parsePhysical(type, showPhysical(type, physical, { unit: false }));
        if (!read.ok) expect.unreachable(read.refusal.message);
        else {
          const again = toCoded(type, read.value);
          if (!again.ok) expect.unreachable(again.refusal.message);
          else expect(toPhysical(type, again.value.coded)).toEqual(physical);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('takes any text for a value or says why not', () => {
    const text = fc.oneof(
      fc.string(),
      fc.string({ unit: fc.constantFrom('(', ')', '[', ']', '"', ',', '=', ' ', '1', 'gain', 'x', '-', '.') }),
    );
    fc.assert(
      fc.property(arbitraryType(), text, (type, typed) => {
        const result = parsePhysical(type, typed);
        if (!result.ok) expect(result.refusal.message).not.toBe('');
      }),
      { numRuns: 300 },
    );
  });
});

function hasBinaryFloat(type: ValueType): boolean {
  if (type.kind === 'struct') return type.fields.some((field) => hasBinaryFloat(field.type));
  if (type.kind === 'array') return hasBinaryFloat(type.element);
  return type.kind === 'float' && (type.format === 'float32' || type.format === 'float64');
}

describe('numbers of the program', () => {
  it.each<[Parameters<typeof physicalFromDouble>[0], number, Physical]>([
    [paddle, 0.1, { kind: 'number', value: rational(1, 10) }],
    [paddle, 1e21, { kind: 'number', value: rational(10n ** 21n) }],
    [paddle, -0, { kind: 'number', value: rational(0) }],
    [volts, NaN, { kind: 'special', name: 'NaN' }],
    [volts, -Infinity, { kind: 'special', name: '-INFINITY' }],
    [{ kind: 'boolean' }, 0, { kind: 'boolean', value: false }],
    [{ kind: 'boolean' }, 0.2, { kind: 'boolean', value: true }],
    [{ kind: 'boolean' }, NaN, { kind: 'boolean', value: false }],
    [dye, 1.9, { kind: 'choice', code: 1n, name: 'fluorescein' }],
    [dye, -3, { kind: 'choice', code: 0n, name: 'none' }],
    [lamps, 5, { kind: 'flags', set: ['red'], unnamed: 4n }],
  ])('%#', (type, x, physical) => {
    expect(physicalFromDouble(type, x)).toEqual(physical);
  });
});
