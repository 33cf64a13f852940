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
