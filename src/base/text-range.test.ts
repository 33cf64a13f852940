import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineIndex } from './text-range.ts';

describe('lines and columns', () => {
  it('count from 1 and take LF, CR LF and CR as line ends', () => {
    const lines = lineIndex('one\ntwo\r\nthree\rfour');
    expect(lines.lineCount).toBe(4);
    expect([1, 2, 3, 4].map((line) => lines.lineText(line))).toEqual(['one', 'two', 'three', 'four']);
    expect(lines.position(0)).toEqual({ line: 1, column: 1 });
    expect(lines.position(3)).toEqual({ line: 1, column: 4 });
    expect(lines.position(4)).toEqual({ line: 2, column: 1 });
    expect(lines.position(9)).toEqual({ line: 3, column: 1 });
    expect(lines.position(15)).toEqual({ line: 4, column: 1 });
  });

  it('hold offsets outside the text to its ends', () => {
    const lines = lineIndex('ab\nc');
    expect(lines.position(-5)).toEqual({ line: 1, column: 1 });
    expect(lines.position(99)).toEqual({ line: 2, column: 2 });
    expect(lineIndex('').position(0)).toEqual({ line: 1, column: 1 });
    expect(lineIndex('').lineText(1)).toBe('');
    expect(lines.lineText(7)).toBe('');
  });

  it('have an empty last line behind a line end', () => {
    expect(lineIndex('a\n').lineCount).toBe(2);
    expect(lineIndex('a\n').lineText(2)).toBe('');
  });

  it('lead back to the character', () => {
    const text = fc.array(fc.constantFrom('a', 'b', '\n', '\r', '\r\n', 'é')).map((parts) => parts.join(''));
    fc.assert(
      fc.property(text, (whole) => {
        const lines = lineIndex(whole);
        for (let offset = 0; offset < whole.length; offset++) {
          const { line, column } = lines.position(offset);
          const character = whole.charAt(offset);
          if (!/[\r\n]/.test(character)) expect(lines.lineText(line).charAt(column - 1)).toBe(character);
        }
        expect(lines.lineCount).toBe(whole.split(/\r\n|\r|\n/).length);
      }),
    );
  });
});
