import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nearest } from './nearest.ts';

const keys = ['type', 'unit', 'range', 'step', 'length', 'scale', 'on-link-loss', 'write-without-response'];

describe('nearest name', () => {
  it.each([
    ['tpye', 'type'],
    ['units', 'unit'],
    ['Range', 'range'],
    ['lenght', 'length'],
    ['on_link_loss', 'on-link-loss'],
    ['On Link Loss', 'on-link-loss'],
    ['write-without-reponse', 'write-without-response'],
    ['steep', 'step'],
  ])('of %s is %s', (word, expected) => {
    expect(nearest(word, keys)).toBe(expected);
  });

  it.each(['colour', 'xyz', '', 'typo-graphy', 'q'])('of %j is none', (word) => {
    expect(nearest(word, keys)).toBeUndefined();
  });

  it.each([
    ['pwm', ['timer', 'pwm-duty', 'dac'], 'pwm-duty'],
    ['device-info', ['battery', 'device-information'], 'device-information'],
    ['Battery Service', ['battery', 'device-information'], 'battery'],
    ['coded', ['1M', 'coded-s2', 'coded-s8'], undefined],
    ['pw', ['pwm-duty'], undefined],
    ['batteryless', ['battery'], undefined],
  ])('of %s goes by its beginning where only one has it', (word, candidates, expected) => {
    expect(nearest(word, candidates)).toBe(expected);
  });

  it('is the first of equals and has nothing to offer from nothing', () => {
    expect(nearest('bat', ['cat', 'rat'])).toBe('cat');
    expect(nearest('bat', [])).toBeUndefined();
  });

  it('of a known name is that name', () => {
    fc.assert(
      fc.property(fc.constantFrom(...keys), (key) => {
        expect(nearest(key, keys)).toBe(key);
      }),
    );
  });

  it('takes any word, however long', () => {
    expect(nearest('x'.repeat(5_000_000), keys)).toBeUndefined();
    fc.assert(
      fc.property(fc.string(), (word) => {
        const found = nearest(word, keys);
        expect(found === undefined || keys.includes(found)).toBe(true);
      }),
    );
  });
});
