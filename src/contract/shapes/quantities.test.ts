import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { us } from '../../base/quantity.ts';
import { rational } from '../../base/rational.ts';
import { frequency, rate, time, timeRange } from './quantities.ts';

describe('time', () => {
  it.each([
    ['30 ms', 30_000],
    ['1.25 ms', 1_250],
    ['7.5ms', 7_500],
    ['4 s', 4_000_000],
    ['150 us', 150],
    ['2 min', 120_000_000],
    ['1 h', 3_600_000_000],
    ['0 s', 0],
  ])('reads %s', (written, value) => {
    expect(decodeWith(time(), written)).toMatchObject({ value, codes: [] });
  });

  it.each([
    ['30', 'write it like `30 ms`'],
    ['0', 'write it like `0 ms`'],
    ['150 µs', 'write it like `150 us`'],
    ['30 msec', 'write it like `30 ms`'],
    ['-1 s', 'write it like `30 ms`'],
    ['soon', 'write it like `30 ms`'],
    ['1 constructor', 'write it like `30 ms`'],
  ])('refuses %s: %s', (written, hint) => {
    const { codes, found } = decodeWith(time(), written);
    expect(codes).toEqual(['quantity-form']);
    expect(found[0]?.hint).toBe(hint);
  });

  it('is in whole microseconds, at most a day', () => {
    expect(decodeWith(time(), '0.5 us').codes).toEqual(['time-too-fine']);
    expect(decodeWith(time(), '24 h').codes).toEqual([]);
    expect(decodeWith(time(), '24.1 h').codes).toEqual(['out-of-bounds']);
  });

  it('keeps to bounds and steps', () => {
    const interval = time({ min: us(7_500), max: us(4_000_000), step: us(1_250) });
    expect(
      ['7.5 ms', '4 s', '7.4 ms', '4.1 s', '31 ms'].map((written) => decodeWith(interval, written).codes[0]),
    ).toEqual([undefined, undefined, 'out-of-bounds', 'out-of-bounds', 'not-in-steps']);
    expect(decodeWith(interval, '31 ms').found[0]?.hint).toBe('write 30 ms or 31.25 ms');
  });
});

describe('timeRange', () => {
  it('reads one time or two', () => {
    expect(decodeWith(timeRange(), '30 ms').value).toEqual({ min: 30_000, max: 30_000 });
    expect(decodeWith(timeRange(), '[20 ms, 40 ms]').value).toEqual({ min: 20_000, max: 40_000 });
  });

  it('refuses the wrong order, with a swap as the fix', () => {
    const { codes, found } = decodeWith(timeRange(), '[40 ms, 20 ms]');
    expect(codes).toEqual(['bounds-reversed']);
    expect(found[0]?.fixes[0]?.edits.map(({ text }) => text)).toEqual(['20 ms', '40 ms']);
    expect(decodeWith(timeRange(), '[1 ms, 2 ms, 3 ms]').codes).toEqual(['list-length']);
    expect(decodeWith(timeRange(), '[1, 2 ms]').codes).toEqual(['quantity-form']);
  });
});

describe('frequency', () => {
  it('reads hertz, kilohertz and megahertz exactly', () => {
    expect(decodeWith(frequency, '50 Hz').value).toEqual(rational(50));
    expect(decodeWith(frequency, '32.768 kHz').value).toEqual(rational(32_768));
    expect(decodeWith(frequency, '0.1 Hz').value).toEqual(rational(1, 10));
    expect(decodeWith(frequency, '48 MHz').value).toEqual(rational(48_000_000));
  });

  it('refuses others', () => {
    expect(decodeWith(frequency, '48 mhz').codes).toEqual(['quantity-form']);
    expect(decodeWith(frequency, '20 ms').codes).toEqual(['quantity-form']);
    expect(decodeWith(frequency, '0 Hz').codes).toEqual(['not-above-zero']);
  });
});

describe('rate', () => {
  it.each([
    ['10 Hz', 100_000],
    ['0.5 Hz', 2_000_000],
    ['1 per min', 60_000_000],
    ['6 per h', 600_000_000],
    ['2 per s', 500_000],
    // A third of a second, rounded up so that the rate is not exceeded.
    ['3 Hz', 333_334],
  ])('%s is a spacing of %d µs', (written, value) => {
    expect(decodeWith(rate, written)).toMatchObject({ value, codes: [] });
  });

  it.each([
    ['10', 'quantity-form'],
    ['10 ms', 'quantity-form'],
    ['10 kHz', 'quantity-form'],
    ['per min', 'quantity-form'],
    ['0 Hz', 'not-above-zero'],
    ['0.001 per h', 'out-of-bounds'],
  ])('refuses %s', (written, code) => {
    expect(decodeWith(rate, written).codes).toEqual([code]);
  });
});
