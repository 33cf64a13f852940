import { describe, expect, it } from 'vitest';
import { codes, lints } from '../../../test/support/lints.ts';
import { characteristics } from './sample.ts';

/** Codes for one characteristic that is read and notified; `lines` say its value. */
const value = (lines: string): readonly string[] =>
  codes(
    characteristics(`
id: x
label: Some value
${lines.trim()}
access: [read, notify]
notify: { on: change, at-most: 1 Hz }`),
  );

describe('type, range, scale and step', () => {
  it.each([
    ['the full width', 'type: uint16\nunit: hertz', []],
    ['a range to the last code', 'type: uint8\nscale: { decimal: -2 }\nunit: hertz\nrange: [0, 2.55]', []],
    ['one code more', 'type: uint8\nscale: { decimal: -2 }\nunit: hertz\nrange: [0, 2.56]', ['type-too-narrow']],
    ['a negative bound of an unsigned type', 'type: uint8\nunit: volt\nrange: [-1, 1]', ['type-too-narrow']],
    [
      'a scale that turns the sign',
      'type: uint8\nscale: { multiplier: -1 }\nunit: volt\nrange: [-255, 0]',
      ['format-not-sayable'],
    ],
    ['more than an SFLOAT holds', 'type: medfloat16\nunit: pascal\nrange: [0, 20460000000]', ['type-too-narrow']],
    ['the most that an SFLOAT holds', 'type: medfloat16\nunit: pascal\nrange: [0, 20450000000]', []],
    ['more than a float32 holds', 'type: float32\nunit: pascal\nrange: [0, 4e38]', ['type-too-narrow']],
    ['a step of one code', 'type: uint16\nscale: { decimal: -2 }\nunit: hertz\nrange: [0, 4]\nstep: 0.01', []],
    [
      'a step of half a code',
      'type: uint16\nscale: { decimal: -2 }\nunit: hertz\nrange: [0, 4]\nstep: 0.005',
      ['resolution-too-coarse'],
    ],
    [
      'a step of a code and a half',
      'type: uint16\nscale: { decimal: -2 }\nunit: hertz\nrange: [0, 4]\nstep: 0.015',
      ['step-between-codes'],
    ],
    ['an SFLOAT at its fourth digit', 'type: medfloat16\nunit: metre\nrange: [0, 2000]\nstep: 1', []],
    [
      'an SFLOAT beyond its fourth digit',
      'type: medfloat16\nunit: metre\nrange: [0, 2100]\nstep: 1',
      ['resolution-too-coarse'],
    ],
    ['a float32 at 2^24', 'type: float32\nunit: metre\nrange: [0, 16777215]\nstep: 1', []],
    ['a float32 beyond 2^24', 'type: float32\nunit: metre\nrange: [0, 33554432]\nstep: 1', ['resolution-too-coarse']],
    ['a bound between codes', 'type: uint8\nunit: percentage\nrange: [0.5, 99]', ['range-between-codes']],
    ['a range of one number', 'type: uint8\nunit: hertz\nrange: [3, 3]', ['one-value-only']],
    ['one number and a special code', 'type: uint8\nunit: hertz\nrange: [3, 3]\nspecial: { 0xFF: unknown }', []],
    ['a special code beside the range', 'type: sint16\nunit: hertz\nrange: [-9, 9]\nspecial: { 0x8000: unknown }', []],
    [
      'a special code in the range',
      'type: sint16\nunit: hertz\nrange: [-9, 9]\nspecial: { 9: broken }',
      ['special-in-range'],
    ],
  ])('%s', (_, lines, expected) => {
    expect(value(lines)).toEqual(expected);
  });

  it('asks for a signed type where the range is negative', () => {
    const text = characteristics('id: x\ntype: uint8\nunit: volt\nrange: [-200, 200]\naccess: [read]');
    expect(lints(text)[0]?.hint).toBe('write `type: sint16`, or narrow the range to 0 to 255 V');
  });

  it('keeps the type when only the scale is too coarse', () => {
    const text = characteristics('id: x\ntype: sint32\nunit: volt\nrange: [0, 9]\nstep: 0.02\naccess: [read]');
    expect(lints(text).map(({ hint }) => hint)[0]).toBe('write `scale: { decimal: -2 }`');
  });
});

describe('units and labels', () => {
  const labelled = (label: string, rest: string): readonly string[] =>
    codes(
      characteristics(
        `id: x\nlabel: "${label}"\n${rest}\naccess: [read, notify]\nnotify: { on: change, at-most: 1 Hz }`,
      ),
    );
  const volt = 'type: uint16\nscale: { decimal: -3 }\nunit: volt';
  const celsius = 'type: sint16\nunit: degree celsius';

  it.each([
    ['Supply', volt, []],
    ['Supply (V)', volt, []],
    ['Supply (mV)', volt, ['label-unit-differs']],
    ['Supply [mV]', volt, ['label-unit-differs']],
    ['Supply in mV', volt, ['label-unit-differs']],
    ['Supply in millivolts', volt, ['label-unit-differs']],
    ['Supply (volts)', volt, []],
    ['Supply (A)', volt, ['label-unit-differs']],
    ['Supply (main)', volt, []],
    ['Supply (max)', volt, []],
    ['Boiler (°C)', celsius, []],
    ['Boiler (deg C)', celsius, []],
    ['Boiler (°F)', celsius, ['label-unit-differs']],
    ['Boiler (K)', celsius, ['label-unit-differs']],
    ['Boiler (min)', celsius, []],
    ['Acidity (pH)', 'type: uint8', []],
    ['Phase (A)', 'type: uint8', []],
    ['Delay (ms)', 'type: uint8', ['label-unit-differs']],
    ['Speed (rpm)', 'type: uint16\nunit: revolution per minute', []],
    ['Acceleration (m/s^2)', 'type: uint16\nunit: metre per second squared', []],
  ])('%s', (label, rest, expected) => {
    expect(labelled(label, rest)).toEqual(expected);
  });

  it.each([
    ['scaled, no unit', 'type: uint8\nscale: { decimal: -1 }', ['unit-missing']],
    ['scaled, said to have none', 'type: uint8\nscale: { decimal: -1 }\nunit: unitless', []],
    ['a float without a unit', 'type: float32', ['unit-missing']],
    ['a count', 'type: uint32', []],
    ['a fraction as percentage', 'type: float32\nunit: percentage\nrange: [0, 1]', ['percentage-as-fraction']],
    ['a binary scale', 'type: uint16\nscale: { binary: -4 }\nunit: volt', ['format-not-sayable']],
    ['40 bits', 'type: uint40\nunit: second', ['format-not-sayable']],
    ['48 bits', 'type: uint48\nunit: second', []],
  ])('%s', (_, lines, expected) => {
    expect(value(lines)).toEqual(expected);
  });

  it('points at the field of a struct, not at the whole type', () => {
    const text = characteristics(`
id: x
label: Gauge
type:
  struct:
    - { id: gain, type: sint16, scale: { decimal: -4 } }
    - { id: zero, type: sint8, unit: volt, range: [-1, 200] }
access: [read]`);
    const found = lints(text).map(({ code, at }) => [code, text.slice(at.start, at.end)]);
    expect(found).toEqual([
      ['unit-missing', '{ decimal: -4 }'],
      ['type-too-narrow', 'sint8'],
    ]);
  });
});

describe('texts and structs', () => {
  it.each([
    ['utf8 of one octet', 'type: utf8\nlength: 1', ['text-shorter-than-character']],
    ['utf8 of four octets', 'type: utf8\nlength: 4', []],
    ['a text that is always empty', 'type: utf8\nlength: 0', ['one-value-only']],
    ['utf16 of odd length', 'type: utf16\nlength: 7', ['utf16-odd-length']],
    ['C aligned fields', 'type: { struct: [{ id: a, type: uint16 }, { id: b, type: uint8 }] }', []],
    [
      'a float64 behind a word',
      'type: { struct: [{ id: a, type: uint32 }, { id: b, type: float64, unit: volt }] }',
      ['struct-padded-in-c'],
    ],
    ['24 bits are octets in C', 'type: { struct: [{ id: a, type: uint8 }, { id: b, type: uint24 }] }', []],
    [
      'packed to whole octets',
      'type: { struct: [{ id: a, type: uint4 }, { id: b, type: uint12 }, { id: c, type: uint8 }] }',
      [],
    ],
    ['unused bits at the end', 'type: { struct: [{ id: a, type: uint8 }, { id: b, type: uint4 }] }', []],
    [
      'unused bits in between',
      'type: { struct: [{ id: a, type: uint2 }, { id: b, type: uint8 }] }',
      ['struct-unused-bits'],
    ],
  ])('%s', (_, lines, expected) => {
    expect(value(lines)).toEqual(expected);
  });
});
