import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromDouble, parseRational } from '../base/rational.ts';
import { floatFromLe, floatToLe, isOfFormat, nearestFloat, shortestDecimal } from './float.ts';

const read = (text: string) => parseRational(text)!;

describe('octets', () => {
  it.each([
    // IEEE 754 encodings worked out by hand.
    ['float32', 1, [0x00, 0x00, 0x80, 0x3f]],
    ['float32', -2, [0x00, 0x00, 0x00, 0xc0]],
    ['float32', 2 ** -149, [0x01, 0x00, 0x00, 0x00]],
    ['float32', Infinity, [0x00, 0x00, 0x80, 0x7f]],
    ['float32', NaN, [0x00, 0x00, 0xc0, 0x7f]],
    ['float32', -0, [0x00, 0x00, 0x00, 0x80]],
    ['float64', 1, [0, 0, 0, 0, 0, 0, 0xf0, 0x3f]],
    ['float64', Number.MIN_VALUE, [1, 0, 0, 0, 0, 0, 0, 0]],
    ['float64', NaN, [0, 0, 0, 0, 0, 0, 0xf8, 0x7f]],
  ] as const)('of %s %d', (format, value, octets) => {
    expect([...floatToLe(format, value)]).toEqual(octets);
    expect(floatFromLe(format, Uint8Array.from(octets))).toBe(value);
  });

  it('are read from the middle of a larger row', () => {
    const row = Uint8Array.of(9, 0x00, 0x00, 0x80, 0x3f, 9);
    expect(floatFromLe('float32', row.subarray(1, 5))).toBe(1);
  });
});

describe('the nearest float32', () => {
  it('is that of the machine for any double', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (x) => {
        const machine = Math.fround(x);
        expect(nearestFloat('float32', fromDouble(x))).toBe(Number.isFinite(machine) ? machine + 0 : undefined);
      }),
      { numRuns: 300 },
    );
  });

  it('is rounded once: a decimal just above a tie does not go by way of a double', () => {
    // 1 + 2^-24 is half way between 1 and the next float32; the decimal lies above it by less than a double can tell.
    const text = '1.000000059604644775390625000000000000001';
    expect(nearestFloat('float32', read(text))).toBe(1 + 2 ** -23);
    expect(Math.fround(Number(text))).toBe(1);
  });

  it('does not exist beyond the largest', () => {
    expect(nearestFloat('float32', read('3.4028235e38'))).toBe(3.4028234663852886e38);
    expect(nearestFloat('float32', read('3.4028236e38'))).toBeUndefined();
    expect(nearestFloat('float64', read('1e309'))).toBeUndefined();
    expect(nearestFloat('float64', read('-1.7976931348623157e308'))).toBe(-Number.MAX_VALUE);
  });

  it('is itself for what the format holds', () => {
    expect(isOfFormat('float32', 0.1)).toBe(false);
    expect(isOfFormat('float32', 0.5)).toBe(true);
    expect(isOfFormat('float32', NaN)).toBe(true);
    expect(isOfFormat('float32', -Infinity)).toBe(true);
    expect(isOfFormat('float64', 0.1)).toBe(true);
  });
});

describe('the shortest decimal', () => {
  it.each([
    [0.1, '0.1'],
    [1 / 3, '0.33333334'],
    [16777216, '16777216'],
    [3.4028234663852886e38, '3.4028235e+38'],
    [2 ** -149, '1e-45'],
    [0, '0'],
    [-0, '0'],
    [-2.5, '-2.5'],
  ])('of the float32 nearest to %d is %s', (x, text) => {
    expect(shortestDecimal('float32', Math.fround(x))).toBe(text);
  });

  it('of a float64 is what the language writes', () => {
    expect(shortestDecimal('float64', 0.1)).toBe('0.1');
    expect(shortestDecimal('float64', 5e-324)).toBe('5e-324');
  });

  it('is rounded back to the same float, and no shorter one is', () => {
    fc.assert(
      fc.property(fc.float({ noNaN: true, noDefaultInfinity: true }), (x) => {
        const text = shortestDecimal('float32', x);
        expect(Math.fround(Number(text)) + 0).toBe(x + 0);
        expect(nearestFloat('float32', read(text))).toBe(x + 0);
        const digits = text.replace(/e.*|[-.]/g, '').replace(/^0+|0+$/g, '').length;
        if (digits > 1) expect(Math.fround(Number(x.toPrecision(digits - 1)))).not.toBe(x);
      }),
    );
  });
});
