import { describe, expect, it } from 'vitest';
import { rational } from '../base/rational.ts';
import { toHex } from '../base/bytes.ts';
import type { FloatFormat, FloatType } from '../values/type.ts';
import { floatBytes, floatInRange, floatSamples, floatSpecials, nextFloat } from './float-samples.ts';

function floatType(format: FloatFormat, range?: readonly [number, number]): FloatType {
  const bounds = range === undefined ? undefined : { min: rational(range[0]), max: rational(range[1]) };
  return { kind: 'float', format, unit: 0x2700, range: bounds, step: undefined };
}

function asDouble(bytes: Uint8Array): number {
  const view = new DataView(bytes.slice().buffer);
  return bytes.length === 4 ? view.getFloat32(0, true) : view.getFloat64(0, true);
}

describe('float samples', () => {
  it('are the ends of the range and its middle', () => {
    const samples = floatSamples(floatType('float32', [-1, 5]));
    expect(samples.map(({ name, bytes }) => [name, asDouble(bytes)])).toEqual([
      ['min', -1],
      ['max', 5],
      ['mid', 2],
    ]);
  });

  it('are without a range the ends of the format, read back by DataView', () => {
    const byName = Object.fromEntries(
      floatSamples(floatType('float64')).map(({ name, bytes }) => [name, asDouble(bytes)]),
    );
    expect(byName).toMatchObject({
      one: 1,
      'minus-one': -1,
      largest: Number.MAX_VALUE,
      smallest: Number.MIN_VALUE,
      'plus-infinity': Infinity,
      'minus-infinity': -Infinity,
      'not-a-number': NaN,
    });
  });

  // IEEE 11073-20601 Annex F: SFLOAT NaN 07FF, +INFINITY 07FE, -INFINITY 0802.
  it('know what is no number in each format', () => {
    const hex = (format: FloatFormat): readonly string[] =>
      floatSpecials[format].map(([, code]) => toHex(floatBytes(floatType(format), code)));
    expect(hex('medfloat16')).toEqual(['ff07', 'fe07', '0208']);
    expect(hex('medfloat32')).toEqual(['ffff7f00', 'feff7f00', '02008000']);
  });
});

describe('the next float', () => {
  it.each([
    ['float32', 1, 1 + 2 ** -23],
    ['float32', -1, -1 + 2 ** -24],
    ['float64', 1, 1 + Number.EPSILON],
    ['float64', 0, Number.MIN_VALUE],
  ] as const)('of %s after %d is %d', (format, from, to) => {
    const bytes = new Uint8Array(format === 'float32' ? 4 : 8);
    const view = new DataView(bytes.buffer);
    if (format === 'float32') view.setFloat32(0, from, true);
    else view.setFloat64(0, from, true);
    expect(asDouble(nextFloat(floatType(format), bytes, 1)!)).toBe(to);
    expect(asDouble(nextFloat(floatType(format), nextFloat(floatType(format), bytes, 1)!, -1)!)).toBe(from);
  });

  it('ends where the format ends', () => {
    const largest = floatBytes(floatType('float32'), 0x7f7f_ffffn);
    expect(nextFloat(floatType('float32'), largest, 1)).toBeUndefined();
  });

  it('of a medical float has the next mantissa', () => {
    const type = floatType('medfloat16', [0, 20]);
    const next = nextFloat(type, Uint8Array.of(0x14, 0x00), 1)!;
    expect(toHex(next)).toBe('1500');
    expect([floatInRange(type, Uint8Array.of(0x14, 0x00)), floatInRange(type, next)]).toEqual([true, false]);
  });
});
