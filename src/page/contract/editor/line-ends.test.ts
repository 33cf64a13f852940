import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineEndOf, offsetInFile, rangeInLf, withLf, withLineEnd } from './line-ends.ts';

describe('ends of lines', () => {
  it.each([
    ['', '\n'],
    ['a', '\n'],
    ['a\nb', '\n'],
    ['a\r\nb\r\n', '\r\n'],
    ['a\r\nb\n', '\n'],
    ['a\rb', '\n'],
  ])('of %j are %j', (text, end) => {
    expect(lineEndOf(text)).toBe(end);
  });

  const text = fc.array(fc.constantFrom('a', '\r\n', 'bc', ' ')).map((parts) => parts.join(''));

  it('come back as they were', () => {
    fc.assert(
      fc.property(text, (some) => {
        expect(withLineEnd(withLf(some), lineEndOf(some))).toBe(some);
      }),
    );
  });

  it('keep places on their characters', () => {
    const marked = 'x\r\nyy\r\nz';
    expect(rangeInLf(marked, { start: 3, end: 5 })).toEqual({ start: 2, end: 4 });
    fc.assert(
      fc.property(text, fc.nat(20), (some, n) => {
        const inLf = Math.min(n, withLf(some).length);
        const inFile = offsetInFile(some, inLf);
        expect(rangeInLf(some, { start: inFile, end: inFile }).start).toBe(inLf);
        expect(withLf(some.slice(0, inFile))).toBe(withLf(some).slice(0, inLf));
      }),
    );
  });
});
