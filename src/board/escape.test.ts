import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { escapeText, escapeWord, unescapeText, unescapeWord } from './escape.ts';

describe('escapes of console texts', () => {
  it.each([
    ['plain ü 水', 'plain ü 水'],
    ['two\nlines\r\ttab', 'two\\nlines\\r\\ttab'],
    ['back\\slash', 'back\\\\slash'],
    ['\u0000\u001b[2J\u0085', '\\x00\\x1b[2J\\x85'],
    ['\u2028', '\\u2028'],
  ])('writes %j', (text, escaped) => {
    expect(escapeText(text)).toBe(escaped);
    expect(unescapeText(escaped)).toBe(text);
  });

  it.each(['\\', '\\q', '\\x1', '\\xg0', '\\u12', 'a\\\\\\'])('refuses %j', (text) => {
    expect(unescapeText(text)).toBeUndefined();
  });

  it('gives back any text and any word', () => {
    const units = fc.uint16Array({ maxLength: 20 }).map((each) => String.fromCharCode(...each));
    const printable = fc.string({ unit: 'grapheme-ascii', maxLength: 20 });
    fc.assert(
      fc.property(fc.oneof(units, printable), (text) => {
        expect(unescapeText(escapeText(text))).toBe(text);
        expect(unescapeWord(escapeWord(text))).toBe(text);
        expect(escapeText(text)).not.toMatch(/\p{Cc}/u);
        expect(escapeWord(text)).toMatch(/^\S+$/);
      }),
    );
  });

  it('tells the empty word from a hyphen', () => {
    expect(escapeWord('')).toBe('-');
    expect(unescapeWord('-')).toBe('');
    expect(unescapeWord(escapeWord('-'))).toBe('-');
  });
});
