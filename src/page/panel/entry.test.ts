import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromHex, toHex } from '../../base/bytes.ts';
import { parseRational, toDouble, type Rational } from '../../base/rational.ts';
import { unscaled, type EnumType, type IntegerType, type StructType, type TextType } from '../../values/type.ts';
import { entryOf, sendable, type Entry } from './entry.ts';

const r = (text: string): Rational => parseRational(text)!;
const typed = (text: string): Entry => ({ kind: 'typed', text });
const paddle: IntegerType = {
  kind: 'integer',
  signed: false,
  bits: 16,
  scale: { ...unscaled, decimal: -2 },
  unit: 0x2722,
  range: { min: r('0'), max: r('4') },
  bounded: true,
  step: undefined,
  special: [],
};
const text: TextType = { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 6 };
const dye: EnumType = { kind: 'enum', bits: 8, names: [{ code: 0n, name: 'none' }] };
const struct: StructType = {
  kind: 'struct',
  fields: [
    { id: 'rate', label: 'Rate', type: paddle },
    { id: 'dye', label: 'Dye', type: dye },
  ],
};

function sent(type: Parameters<typeof sendable>[0], entry: Entry): string {
  const octets = sendable(type, entry);
  return octets.ok ? `${toHex(octets.bytes)}${octets.refusal === undefined ? '' : '!'}` : octets.why;
}

describe('sendable', () => {
  it('codes what a person types, with or without the unit', () => {
    expect(sent(paddle, typed('0.5'))).toBe('3200');
    expect(sent(paddle, typed(' 1.25 Hz '))).toBe('7d00');
  });

  it('says what the coding makes of it', () => {
    const octets = sendable(paddle, typed('0.333'));
    expect(octets.ok && toDouble(octets.error)).toBe(-0.003);
  });

  it('lets what the board has to refuse be sent, and says why it will', () => {
    expect(sent(paddle, typed('5'))).toBe('f401!');
    const octets = sendable(paddle, typed('5'));
    expect(octets.ok && octets.refusal).toBe('5 Hz is outside 0 to 4 Hz');
    expect(sent(text, typed('seven 7'))).toBe('736576656e2037!');
    expect(sent(dye, { kind: 'chosen', physical: { kind: 'choice', code: 7n, name: undefined } })).toBe('07!');
  });

  it('does not send what no octets can stand for', () => {
    expect(sent(paddle, typed('700'))).toBe('700 Hz is outside 0 to 4 Hz');
    expect(sent(paddle, typed('-1'))).toBe('-1 Hz is outside 0 to 4 Hz');
    expect(sent(paddle, typed('−1'))).toBe('-1 Hz is outside 0 to 4 Hz');
    expect(sent(paddle, typed('fast'))).toContain('`fast` is no number');
    expect(sent(paddle, typed(''))).toContain('no number');
  });

  it('names the field that is wrong by its label', () => {
    const entry: Entry = { kind: 'record', fields: [typed('x'), entryOf(dye, new Uint8Array(1))] };
    expect(sent(struct, entry)).toContain('`Rate`');
  });
});

describe('entryOf', () => {
  it('is read back as the octets it came from', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 400 }), (code) => {
        const bytes = Uint8Array.of(code & 255, code >> 8);
        expect(sent(paddle, entryOf(paddle, bytes))).toBe(toHex(bytes));
        const whole = Uint8Array.of(...bytes, 0);
        expect(sent(struct, entryOf(struct, whole))).toBe(toHex(whole));
      }),
    );
  });

  it('begins at rest where the octets are no value', () => {
    expect(entryOf(paddle, fromHex('01')!)).toEqual(typed('0'));
  });
});
