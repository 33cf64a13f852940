import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { arbitraryInteger, arbitraryTyped, isInhabited } from '../../test/support/arbitrary-type.ts';
import { readVectors, vectorTests } from '../../test/support/read-vectors.ts';
import { toHex } from '../base/bytes.ts';
import {
  absolute,
  add,
  compare,
  equal,
  multiply,
  parseRational,
  rational,
  subtract,
  zero,
  type Rational,
} from '../base/rational.ts';
import { checkCoded } from './check.ts';
import { encode } from './codec.ts';
import { parsePhysical } from './parse.ts';
import { codedRange, resolution, scaleFactor, toCoded, toPhysical } from './physical.ts';
import { fullPhysicalRange } from './scale.ts';
import type { Coded, FloatFormat, FloatType, IntegerType, Physical, ValueType } from './type.ts';

type ScaledInput = {
  bits: IntegerType['bits'];
  signed: boolean;
  multiplier: number;
  decimal: number;
  binary: number;
  special: [number, string][];
  text: string;
};

const read = (text: string): Rational => parseRational(text)!;
const number = (text: string): Physical => ({ kind: 'number', value: read(text) });

function paddle(more: Partial<IntegerType> = {}): IntegerType {
  const scale = { multiplier: 1, decimal: -2, binary: 0 };
  return { ...integer(false, 16, { scale, unit: 0x2722, range: [0, 4] }), ...more };
}

function float(format: FloatFormat, range?: [string, string]): FloatType {
  return {
    kind: 'float',
    format,
    unit: 0x2728,
    range: range === undefined ? undefined : { min: read(range[0]), max: read(range[1]) },
    step: undefined,
  };
}

/** `coded` and error as text, or the refusal's message. */
function outcome(type: ValueType, physical: Physical): string {
  const result = toCoded(type, physical);
  if (!result.ok) return result.refusal.message;
  const { coded, error } = result.value;
  const value = coded.kind === 'struct' || coded.kind === 'array' ? '' : JSON.stringify(coded.value, big);
  return `${value} error ${error.num}/${error.den}`;
}

function big(_key: string, value: unknown): unknown {
  return typeof value === 'bigint' ? `${value}` : value;
}

describe('scaled integers', () => {
  const file = readVectors<ScaledInput, string>(new URL('./vectors/scaled-integer.json', import.meta.url));
  it.each(vectorTests(file))('$id: $group, $comment', ({ input, output }) => {
    const { bits, signed, multiplier, decimal, binary } = input;
    const scale = { multiplier, decimal, binary };
    const special = input.special.map(([code, name]) => ({ code: BigInt(code), name }));
    const type = paddle({
      bits,
      signed,
      scale,
      special,
      range: fullPhysicalRange(bits, signed, scale),
      bounded: false,
    });
    const physical = parsePhysical(type, input.text);
    if (!physical.ok) expect.unreachable(physical.refusal.message);
    else {
      const coded = toCoded(type, physical.value);
      expect(coded.ok).toBe(output !== undefined);
      if (!coded.ok) return;
      expect(coded.value.error).toEqual(zero);
      const encoded = encode(type, coded.value.coded);
      expect(encoded.ok ? toHex(encoded.value) : encoded.refusal.message).toBe(output);
      expect(toPhysical(type, coded.value.coded)).toEqual(physical.value);
    }
  });

  it('have the exact physical value of their code', () => {
    const type = paddle({ scale: { multiplier: 3, decimal: -1, binary: -2 } });
    expect(toPhysical(type, { kind: 'integer', value: 7n })).toEqual({ kind: 'number', value: rational(21, 40) });
  });
});

describe('quantisation', () => {
  it.each([
    ['0.5', '"50" error 0/1'],
    ['0.005', '"0" error -1/200'],
    ['0.015', '"2" error 1/200'],
    ['0.025', '"2" error -1/200'],
    ['3.999', '"400" error 1/1000'],
    ['4', '"400" error 0/1'],
    ['4.001', '4.001 Hz is outside 0 to 4 Hz'],
    ['5', '5 Hz is outside 0 to 4 Hz'],
    ['-0.001', '-0.001 Hz is outside 0 to 4 Hz'],
  ])('of %s Hz', (text, expected) => {
    expect(outcome(paddle(), number(text))).toBe(expected);
  });

  it('rounds half to even below zero too, and with a negative multiplier', () => {
    const down = paddle({ bits: 8, signed: true, scale: { multiplier: -2, decimal: 0, binary: 0 } });
    const type = { ...down, range: fullPhysicalRange(8, true, down.scale) };
    expect(outcome(type, number('-3'))).toBe('"2" error -1/1');
    expect(outcome(type, number('3'))).toBe('"-2" error 1/1');
    expect(outcome(type, number('5'))).toBe('"-2" error -1/1');
    expect(outcome(type, number('256'))).toBe('"-128" error 0/1');
  });

  it('stays within a range that ends between two codes', () => {
    const type = paddle({ range: { min: read('0.004'), max: read('1.996') } });
    expect(outcome(type, number('0.004'))).toBe('"1" error 3/500');
    expect(outcome(type, number('1.996'))).toBe('"199" error -3/500');
    const between = paddle({ range: { min: read('0.011'), max: read('0.019') } });
    expect(outcome(between, number('0.015'))).toContain('is outside 0.011 to 0.019 Hz');
  });

  it('keeps numbers away from the codes that mean something else', () => {
    const special = [{ code: 0xffffn, name: 'unknown' }];
    const type = paddle({ special, range: fullPhysicalRange(16, false, paddle().scale), bounded: false });
    expect(outcome(type, number('655.35'))).toBe('655.35 Hz is coded 65535, which means `unknown`');
    expect(outcome(type, { kind: 'special', name: 'unknown' })).toBe('"65535" error 0/1');
    expect(outcome(type, { kind: 'special', name: 'NaN' })).toBe('`NaN` is no special value; the type has unknown');
    expect(outcome(paddle(), { kind: 'special', name: 'NaN' })).toBe('`NaN` is no special value; the type has none');
  });

  it('is off by at most half a code, and tells by how much', () => {
    const asked = arbitraryInteger.filter(isInhabited).chain((type) =>
      fc.tuple(fc.constant(type), fc.bigInt({ min: 0n, max: 10n ** 12n })).map(([, part]) => {
        const width = subtract(type.range.max, type.range.min);
        return { type, value: add(type.range.min, multiply(width, rational(part, 10n ** 12n))) };
      }),
    );
    fc.assert(
      fc.property(asked, ({ type, value }) => {
        const result = toCoded(type, { kind: 'number', value });
        if (!result.ok) {
          expect(type.special.length).toBeGreaterThan(0);
          return;
        }
        const { coded, error } = result.value;
        if (coded.kind !== 'integer') expect.unreachable();
        else {
          const held = multiply(rational(coded.value), scaleFactor(type.scale));
          expect(equal(subtract(held, value), error)).toBe(true);
          const { min, max } = codedRange(type);
          const atEnd = coded.value === min || coded.value === max;
          const half = multiply(resolution(type)!, atEnd ? rational(1) : rational(1, 2));
          expect(compare(absolute(error), half)).toBeLessThanOrEqual(0);
        }
      }),
      { numRuns: 300 },
    );
  });
});

describe('floats', () => {
  it('tell how far the nearest float is from the number asked for', () => {
    expect(outcome(float('float64'), number('0.5'))).toBe('0.5 error 0/1');
    // The double nearest to 0.1 is 3602879701896397 / 2^55.
    expect(outcome(float('float64'), number('0.1'))).toBe(`0.1 error 1/${10n * 2n ** 54n}`);
    expect(outcome(float('float32'), number('0.1'))).toBe('0.10000000149011612 error 1/671088640');
    expect(outcome(float('medfloat16'), number('1.23456'))).toBe(
      '{"kind":"number","mantissa":1235,"exponent":-3} error 11/25000',
    );
  });

  it('are refused beyond what the format holds', () => {
    expect(outcome(float('float32'), number('1e39'))).toBe(`1${'0'.repeat(39)} V is larger than a float32 can hold`);
    expect(outcome(float('medfloat16'), number('1e11'))).toBe('100000000000 V is larger than a medfloat16 can hold');
  });

  it('are held to their range by the numbers that the format holds', () => {
    const type = float('float32', ['0', '0.1']);
    expect(outcome(type, number('0.1'))).toBe('0.10000000149011612 error 1/671088640');
    // Between the bound and the float that holds it lies what is coded as the bound.
    expect(outcome(type, number('0.1000000002'))).toContain('0.10000000149011612 error');
    expect(outcome(type, number('0.100000002'))).toBe('0.100000002 V is outside 0 to 0.1 V');
    expect(checkCoded(type, { kind: 'double', value: Math.fround(0.1) })).toBeUndefined();
    expect(checkCoded(type, { kind: 'double', value: Math.fround(0.10000001) })?.message).toBe(
      '0.10000001 V is outside 0 to 0.1 V',
    );
  });

  it('have special values by name, unless there is a range', () => {
    expect(outcome(float('float32'), { kind: 'special', name: '-INFINITY' })).toBe('null error 0/1');
    expect(toPhysical(float('float32'), { kind: 'double', value: -Infinity })).toEqual({
      kind: 'special',
      name: '-INFINITY',
    });
    expect(outcome(float('medfloat32'), { kind: 'special', name: 'NRes' })).toBe(
      '{"kind":"special","name":"NRes"} error 0/1',
    );
    expect(outcome(float('float32'), { kind: 'special', name: 'NRes' })).toBe(
      '`NRes` is no special value; the type has NaN, +INFINITY, -INFINITY',
    );
    expect(outcome(float('float32', ['0', '4']), { kind: 'special', name: 'NaN' })).toBe(
      'NaN is no number from 0 to 4 V',
    );
  });

  it('lose the sign of zero and the precision of a medical float, nothing else', () => {
    expect(toPhysical(float('float64'), { kind: 'double', value: -0 })).toEqual({ kind: 'number', value: zero });
    const precise: Coded = { kind: 'medfloat', value: { kind: 'number', mantissa: 200, exponent: -2 } };
    expect(toPhysical(float('medfloat16'), precise)).toEqual({ kind: 'number', value: rational(2) });
  });
});

describe('choices, flags and wholes', () => {
  const dye: ValueType = {
    kind: 'enum',
    bits: 8,
    names: [
      { code: 0n, name: 'none' },
      { code: 1n, name: 'fluorescein' },
    ],
  };
  const lamps: ValueType = {
    kind: 'flags',
    bits: 8,
    names: [
      { bit: 0, name: 'red' },
      { bit: 4, name: 'green' },
    ],
  };

  it('are named where they have names', () => {
    expect(toPhysical(dye, { kind: 'integer', value: 1n })).toEqual({ kind: 'choice', code: 1n, name: 'fluorescein' });
    expect(toPhysical(dye, { kind: 'integer', value: 9n })).toEqual({ kind: 'choice', code: 9n, name: undefined });
    expect(toPhysical(lamps, { kind: 'integer', value: 0x93n })).toEqual({
      kind: 'flags',
      set: ['red', 'green'],
      unnamed: 0x82n,
    });
  });

  it('are refused where they have none', () => {
    expect(outcome(dye, { kind: 'choice', code: 9n, name: undefined })).toBe(
      'code 9 has no name; allowed are 0 none, 1 fluorescein',
    );
    expect(outcome(lamps, { kind: 'flags', set: ['red'], unnamed: 2n })).toBe(
      'bit 1 is set and has no name; bits with names are 0 red, 4 green',
    );
    expect(outcome(lamps, { kind: 'flags', set: ['blue'], unnamed: 0n })).toBe('`blue` is no flag of this type');
  });

  it('are refused with the place within a struct', () => {
    const type: ValueType = {
      kind: 'struct',
      fields: [
        { id: 'rate', label: 'Rate', type: paddle() },
        { id: 'dye', label: 'Dye', type: dye },
      ],
    };
    const record = (...fields: [string, Physical][]): Physical => ({
      kind: 'record',
      fields: fields.map(([id, value]) => ({ id, value })),
    });
    const none: Physical = { kind: 'choice', code: 0n, name: 'none' };
    expect(toCoded(type, record(['dye', none], ['rate', number('1')]))).toMatchObject({ ok: true });
    expect(toCoded(type, record(['rate', number('5')], ['dye', none]))).toEqual({
      ok: false,
      refusal: { reason: 'range', message: '5 Hz is outside 0 to 4 Hz', path: 'rate' },
    });
    expect(toCoded(type, record(['rate', number('1')]))).toMatchObject({ refusal: { path: 'dye', reason: 'type' } });
    expect(outcome(type, record(['rate', number('1')], ['dye', none], ['x', none]))).toBe(
      'the struct has no field `x`',
    );
    expect(outcome(type, number('1'))).toBe('a number stands where a value of kind struct is needed');
    const list: ValueType = { kind: 'array', element: paddle(), minCount: 2, maxCount: 2 };
    expect(toCoded(list, { kind: 'list', items: [number('1'), number('9')] })).toMatchObject({
      refusal: { path: '[1]' },
    });
    expect(outcome(list, { kind: 'list', items: [number('1')] })).toBe('1 item instead of 2');
  });
});

describe('any type', () => {
  it('codes the physical form of an allowed value as that value', () => {
    fc.assert(
      fc.property(arbitraryTyped(true), ({ type, coded }) => {
        expect(checkCoded(type, coded)).toBeUndefined();
        const physical = toPhysical(type, coded);
        const again = toCoded(type, physical);
        if (!again.ok) expect.unreachable(again.refusal.message);
        else {
          expect(again.value.error).toEqual(zero);
          expect(checkCoded(type, again.value.coded)).toBeUndefined();
          expect(toPhysical(type, again.value.coded)).toEqual(physical);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('has a physical form for whatever it can hold, and codes it exactly or says why not', () => {
    fc.assert(
      fc.property(arbitraryTyped(), ({ type, coded }) => {
        const result = toCoded(type, toPhysical(type, coded));
        const refusal = checkCoded(type, coded);
        expect(result.ok).toBe(refusal === undefined);
        if (!result.ok) expect(result.refusal).toEqual(refusal);
      }),
      { numRuns: 300 },
    );
  });

  it('refuses the physical form of another type or codes it as one of its own', () => {
    fc.assert(
      fc.property(arbitraryTyped(), arbitraryTyped(), ({ type }, other) => {
        const result = toCoded(type, toPhysical(other.type, other.coded));
        if (result.ok) expect(checkCoded(type, result.value.coded)).toBeUndefined();
        else expect(result.refusal.message).not.toBe('');
      }),
      { numRuns: 300 },
    );
  });
});
