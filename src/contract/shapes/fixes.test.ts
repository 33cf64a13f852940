import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { writeInstead, writeText } from './fixes.ts';
import { text } from './scalars.ts';

const at = { start: 3, end: 7 };

describe('fixes', () => {
  it('write a word, or nothing', () => {
    expect(writeInstead(at, 'tank')).toEqual([{ title: 'Write `tank`', edits: [{ at, text: 'tank' }] }]);
    expect(writeInstead(at, undefined)).toEqual([]);
    expect(writeText(at, undefined)).toEqual([]);
  });

  it.each([
    ['falling, then steady', '"falling, then steady"'],
    ['true', '"true"'],
    ['1.0', '"1.0"'],
    ['dark red', 'dark red'],
    ['vert foncé', 'vert foncé'],
    ['- a', '"- a"'],
    ['say "no"', '"say \\"no\\""'],
  ])('write the text %s as %s', (wanted, written) => {
    expect(writeText(at, wanted)[0]?.edits[0]?.text).toBe(written);
  });

  it('write texts that read back as they are, within brackets too', () => {
    fc.assert(
      fc.property(fc.string({ minLength: 1, maxLength: 20 }), (wanted) => {
        const written = writeText(at, wanted)[0]!.edits[0]!.text;
        expect(decodeWith(text(80), written)).toMatchObject({ value: wanted, codes: [] });
      }),
      { numRuns: 300 },
    );
  });
});
