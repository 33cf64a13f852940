import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compare, parseRational, toDouble, type Rational } from '../../base/rational.ts';
import { unscaled, type IntegerType } from '../../values/type.ts';
import { fractionAt, onDial } from './dial-geometry.ts';
import { dialScale, fractionOf, moved, roundStep, stepsOf, valueAt } from './dial-scale.ts';

const r = (text: string): Rational => parseRational(text)!;
const labels = (min: string, max: string): string[] =>
  dialScale({ min: r(min), max: r(max) })
    .ticks.map(({ label }) => label)
    .filter((label) => label !== '');

describe('dialScale', () => {
  it('labels round values', () => {
    expect(labels('0', '4')).toEqual(['0', '1', '2', '3', '4']);
    expect(labels('0.5', '2000')).toEqual(['0', '500', '1000', '1500', '2000']);
    expect(labels('-0.012', '0.012')).toEqual(['−0.015', '−0.010', '−0.005', '0', '0.005', '0.010', '0.015']);
    expect(labels('0', '100')).toEqual(['0', '20', '40', '60', '80', '100']);
  });

  it('covers the range, with at most nine labels and the band within', () => {
    const number = fc.tuple(fc.integer({ min: -100_000, max: 100_000 }), fc.integer({ min: -6, max: 6 }));
    fc.assert(
      fc.property(number, number, ([a, p], [b, q]) => {
        const [x, y] = [r(`${a}e${p}`), r(`${b}e${q}`)];
        const [min, max] = compare(x, y) <= 0 ? [x, y] : [y, x];
        const scale = dialScale({ min, max });
        expect(compare(scale.from, min)).toBeLessThanOrEqual(0);
        expect(compare(scale.to, max)).toBeGreaterThanOrEqual(0);
        expect(scale.ticks.filter(({ label }) => label !== '').length).toBeLessThanOrEqual(9);
        expect(scale.ticks.length).toBeLessThanOrEqual(61);
        expect(scale.band.start).toBeLessThanOrEqual(scale.band.end);
        expect(scale.ticks[0]!.at).toBe(0);
        expect(scale.ticks.at(-1)!.at).toBe(1);
      }),
    );
  });
});

describe('roundStep', () => {
  it('is 1, 2 or 5 times a power of ten, and not below what is wanted', () => {
    expect(roundStep(r('0.6'))).toEqual(r('1'));
    expect(roundStep(r('1'))).toEqual(r('1'));
    expect(roundStep(r('1.01'))).toEqual(r('2'));
    expect(roundStep(r('333.25'))).toEqual(r('500'));
    expect(roundStep(r('0.004'))).toEqual(r('0.005'));
  });
});

describe('a hand', () => {
  const allowed = { min: r('0'), max: r('4') };
  const scale = dialScale(allowed);
  const type: IntegerType = {
    kind: 'integer',
    signed: false,
    bits: 16,
    scale: { ...unscaled, decimal: -2 },
    unit: 0x2722,
    range: allowed,
    bounded: true,
    step: undefined,
    special: [],
  };

  it('points back to where it was taken from', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (fraction) => {
        expect(fractionAt(onDial(fraction, 60))).toBeCloseTo(fraction, 9);
      }),
    );
  });

  it('takes the nearer end below the axis', () => {
    expect(fractionAt({ x: 20, y: 130 })).toBe(0);
    expect(fractionAt({ x: 200, y: 130 })).toBe(1);
  });

  it('snaps to steps of the value', () => {
    const { fine, coarse, drag } = stepsOf(type, allowed);
    expect([fine, coarse, drag].map(toDouble)).toEqual([0.01, 0.2, 0.01]);
    expect(toDouble(valueAt(scale, 0.3031, drag))).toBe(1.21);
    expect(fractionOf(scale, r('9'))).toBe(1);
  });

  it('moves by keys within the range, from one step to the next', () => {
    expect(toDouble(moved(r('0.5'), 1, r('0.01'), allowed))).toBe(0.51);
    expect(toDouble(moved(r('0.5'), 1, r('0.2'), allowed))).toBe(0.6);
    expect(toDouble(moved(r('0.5'), -1, r('0.2'), allowed))).toBe(0.4);
    expect(toDouble(moved(r('3.995'), 1, r('0.01'), allowed))).toBe(4);
    expect(toDouble(moved(r('0'), -1, r('0.01'), allowed))).toBe(0);
  });
});
