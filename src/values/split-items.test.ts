import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryCharacter } from '../../test/support/arbitrary-type.ts';
import { splitItems, unquote, unwrap } from './split-items.ts';

describe('items', () => {
  it.each([
    ['', []],
    ['  ', []],
    ['a', ['a']],
    ['a, b ,c', ['a', 'b', 'c']],
    ['a,,b', ['a', '', 'b']],
    ['a,', ['a', '']],
    ['x (1, 2), y [3, (4, 5)]', ['x (1, 2)', 'y [3, (4, 5)]']],
    ['"a, b", c', ['"a, b"', 'c']],
    ['"a\\", b", c', ['"a\\", b"', 'c']],
    ['("(", ")"), b', ['("(", ")")', 'b']],
  ])('of %j', (text, items) => {
    expect(splitItems(text)).toEqual({ ok: true, items });
  });

  it.each([
    ['a)', '`)` closes nothing'],
    ['(a', '`(` is not closed'],
    ['(a]', '`(` is not closed'],
    ['a, [b, (c)', '`[` is not closed'],
    ['"a, b', '`"` is not closed'],
    ['"a\\"', '`"` is not closed'],
  ])('do not exist in %j', (text, why) => {
    expect(splitItems(text)).toEqual({ ok: false, why });
  });

  it('come out of any text, or a reason', () => {
    const text = fc.string({ unit: fc.constantFrom('(', ')', '[', ']', '"', '\\', ',', 'a', ' ') });
    fc.assert(
      fc.property(text, (whole) => {
        const split = splitItems(whole);
        if (split.ok) for (const item of split.items) expect(splitItems(item).ok).toBe(true);
        else expect(split.why).not.toBe('');
      }),
      { numRuns: 300 },
    );
  });

  it('are found in a long and deep text', () => {
    const deep = '('.repeat(200_000) + ')'.repeat(200_000);
    expect(splitItems(`${deep}, b`)).toEqual({ ok: true, items: [deep, 'b'] });
    expect(splitItems('('.repeat(200_000))).toEqual({ ok: false, why: '`(` is not closed' });
  });
});

describe('brackets and quotes', () => {
  it('are taken off with what stands behind', () => {
    expect(unwrap('[1, 2] V', '[')).toEqual({ inner: '1, 2', rest: 'V' });
    expect(unwrap('(a) (b)', '(')).toEqual({ inner: 'a', rest: '(b)' });
    expect(unwrap('[1, 2', '[')).toBeUndefined();
    expect(unwrap('1, 2]', '[')).toBeUndefined();
    expect(unwrap('(a)', '[')).toBeUndefined();
  });

  it('of JSON strings are understood', () => {
    expect(unquote('"a\\"\\u00e9"')).toBe('a"é');
    expect(unquote('plain')).toBe('plain');
    expect(unquote('"a" b')).toBeUndefined();
    expect(unquote('"\\x"')).toBeUndefined();
    fc.assert(
      fc.property(fc.string({ unit: arbitraryCharacter }), (text) => {
        expect(unquote(JSON.stringify(text))).toBe(text);
      }),
    );
  });
});
