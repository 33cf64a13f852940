import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { check } from '../../table/check.ts';
import { defaultBytes } from '../../values/start.ts';
import type { ValueType } from '../../values/type.ts';
import { spansOfRow } from './strip.ts';
import { valueStrip } from './value-strip.ts';

/** The type that a contract gives to a characteristic with these keys. */
function typeOf(keys: string): ValueType {
  const text = `contract: 1
board: { name: T }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services: [{ id: s, characteristics: [{ id: v, access: [read], ${keys} }] }]`;
  const { value, findings } = check(text);
  expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  return value!.table.values[0]!.type;
}

const words = (type: ValueType, bytes?: Uint8Array): string[] =>
  valueStrip(type, bytes).spans.map(({ words: { name, place, coding, value } }) =>
    [name, place, coding, value].filter((part) => part !== '').join(' | '),
  );

describe('the strip of a value', () => {
  it('has one field for a number, with what it is now', () => {
    const type = typeOf('type: uint16, scale: { decimal: -2 }, unit: hertz');
    expect(words(type)).toEqual(['octets 0 to 1 | uint16 × 0.01 Hz']);
    expect(words(type, Uint8Array.of(0x32, 0))).toEqual(['octets 0 to 1 | uint16 × 0.01 Hz | 0.5 Hz']);
  });

  it('shows fields that share octets, to the bit', () => {
    const type = typeOf(
      'type: { struct: [{ id: phase, type: uint4 }, { id: current, type: sint12 }, { id: gap, type: uint4 }, { id: mains, type: uint16 }] }',
    );
    // phase 3, current -2, gap 1: 0x3 then 0xFFE in the bits above it, then 0x1.
    expect(words(type, Uint8Array.of(0xe3, 0xff, 0x01, 0xe8, 0x03))).toEqual([
      'Phase | octet 0, bits 0 to 3 | uint4 | 3',
      'Current | octets 0 to 1, bits 4 to 15 | sint12 | -2',
      'Gap | octet 2, bits 0 to 3 | uint4 | 1',
      'unused | octet 2, bits 4 to 7 | always 0',
      'Mains | octets 3 to 4 | uint16 | 1000',
    ]);
  });

  it('leaves out the middle of a long array and counts on behind it', () => {
    const { cells, spans } = valueStrip(typeOf('type: { array: uint16, count: 24 }'));
    expect(cells.map((cell) => (cell.kind === 'octet' ? cell.index : cell.words))).toEqual([0, 1, 2, 3, '+42', 46, 47]);
    expect(spans.map(({ label }) => label)).toEqual(['1', '2', '3 to 23', '24']);
  });

  it('shows a text as far as it goes, and what may come when there is none', () => {
    const type = typeOf('type: utf8, length: [0, 60]');
    const glyphs = (bytes?: Uint8Array): string =>
      valueStrip(type, bytes)
        .cells.map((cell) => (cell.kind === 'break' ? cell.words : (cell.glyph ?? '?')))
        .join('');
    expect(glyphs(new TextEncoder().encode('ready now'))).toBe('ready␣now');
    expect(glyphs()).toBe('???…');
    expect(glyphs(new Uint8Array())).toBe('???…');
    expect(glyphs(new TextEncoder().encode('a'.repeat(60)))).toBe(`${'a'.repeat(12)}+45aaa`);
  });

  it('draws items of an array of varying count', () => {
    const type = typeOf('type: { array: sint24, count: [0, 60] }, scale: { decimal: -9 }, unit: metre per second');
    expect(words(type, Uint8Array.of(1, 0, 0, 2, 0, 0))).toEqual([
      '1 | octets 0 to 2 | sint24 × 10⁻⁹ m/s | 0.000000001 m/s',
      '2 | octets 3 to 5 | sint24 × 10⁻⁹ m/s | 0.000000002 m/s',
    ]);
  });

  it('takes octets that are no value of the type', () => {
    const type = typeOf('type: uint16');
    expect(valueStrip(type, Uint8Array.of(1)).cells).toHaveLength(2);
    expect(words(type, Uint8Array.of(1, 2, 3))).toEqual([
      'octets 0 to 1 | uint16 | 513',
      'unused | octet 2 | always 0',
    ]);
  });

  it('covers every bit once, whatever the octets', () => {
    const types = [
      'type: { struct: [{ id: a, type: uint2 }, { id: b, type: uint12 }, { id: c, type: uint24 }, { id: d, type: utf8, length: [0, 40] }] }',
      'type: { struct: [{ id: a, type: uint4 }, { id: b, type: { array: uint16, count: 20 } }] }',
      'type: { struct: [{ id: a, type: boolean }, { id: b, type: { array: { struct: [{ id: x, type: uint4 }, { id: y, type: uint12 }] }, count: [1, 30] } }] }',
      'type: uint128',
      'type: { flags: uint24, names: { 0: a, 23: b } }',
    ].map(typeOf);
    fc.assert(
      fc.property(fc.constantFrom(...types), fc.option(fc.uint8Array({ maxLength: 70 })), (type, some) => {
        const bytes = some ?? defaultBytes(type);
        const { cells, spans } = valueStrip(type, bytes);
        let end = 0;
        for (const { start, length } of spans) {
          expect(start).toBe(end);
          expect(length).toBeGreaterThan(0);
          end = start + length;
        }
        expect(end).toBe(8 * cells.length);
      }),
    );
  });
});

describe('rows of a strip', () => {
  it('part a span that runs over the end of a row', () => {
    const strip = valueStrip(typeOf('type: uint128'));
    expect(spansOfRow(strip, 0, 8)).toMatchObject([{ start: 0, end: 64, opens: true, closes: false }]);
    expect(spansOfRow(strip, 1, 8)).toMatchObject([{ start: 0, end: 64, opens: false, closes: true }]);
  });
});
