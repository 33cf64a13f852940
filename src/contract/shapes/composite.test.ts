import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { byKey, byWord, list, looseList, namedCodes } from './composite.ts';
import { record, required, whole } from './record.ts';
import { text, whole as wholeNumber, word } from './scalars.ts';
import { map } from './shape.ts';

const small = wholeNumber(0, 9);

describe('list', () => {
  it('gives nothing when one entry is refused, and tells which', () => {
    const { value, found } = decodeWith(list(small, 'a list'), '[1, 12, x]');
    expect(value).toBeUndefined();
    expect(found.map(({ message }) => message)).toEqual([
      'entry 2 of `it` is 12, but 0 to 9 is allowed',
      'entry 3 of `it` is the text `x`, but a whole number from 0 to 9 is wanted',
    ]);
  });

  it('can go on with what is sound', () => {
    expect(decodeWith(looseList(small, 'a list'), '[1, 12, 3]').value).toEqual([1, 3]);
  });

  it('counts', () => {
    expect(decodeWith(list(small, 'a list', { min: 1 }), '[]').codes).toEqual(['list-length']);
    expect(decodeWith(list(small, 'a list', { max: 2 }), '[1, 2, 3]').codes).toEqual(['list-length']);
    expect(decodeWith(list(small, 'a list'), '1').codes).toEqual(['wrong-kind']);
  });

  it('finds what stands twice, however a number is written', () => {
    const { codes, found } = decodeWith(list(small, 'a list', { distinct: true }), '[1, 2, 0x1, 1.0]');
    expect(codes).toEqual(['repeated-entry', 'repeated-entry']);
    expect(found.map(({ related }) => related[0]?.at.start)).toEqual([1, 1]);
  });
});

describe('namedCodes', () => {
  const codes = namedCodes(text(10), 'a mapping');

  it('keeps the order of the text, and which codes were hex', () => {
    const { value } = decodeWith(codes, '{ 2: two, 0x10: sixteen, -1: less }');
    expect(value?.map(({ code, hex, name }) => [code, hex, name])).toEqual([
      [2n, false, 'two'],
      [16n, true, 'sixteen'],
      [-1n, false, 'less'],
    ]);
  });

  it.each([
    ['{}', 'list-length'],
    ['{ one: 1 }', 'wrong-kind'],
    ['{ 1.5: half }', 'not-a-whole-number'],
    ['{ 1: 2 }', 'needs-quotes'],
    ['{ 1: }', 'wrong-kind'],
    ['[a, b]', 'wrong-kind'],
  ])('refuses %s', (written, code) => {
    expect(decodeWith(codes, written).codes[0]).toBe(code);
  });
});

const circle = record({ id: 'circle', called: 'a circle', intro: '' }, { radius: required(small, '', '1') });
const square = record({ id: 'square', called: 'a square', intro: '' }, { side: required(small, '', '1') });

describe('byKey', () => {
  const figure = byKey<string>(
    { radius: map(whole(circle), ({ radius }) => `r${radius}`), side: map(whole(square), ({ side }) => `s${side}`) },
    'a figure',
  );

  it('chooses by the key that is there', () => {
    expect(decodeWith(figure, '{ radius: 3 }').value).toBe('r3');
    expect(decodeWith(figure, '{ side: 3 }').value).toBe('s3');
  });

  it('says which keys it knows', () => {
    expect(decodeWith(figure, '{ edge: 3 }').found[0]?.message).toBe('`it` is a mapping without `radius` or `side`');
    expect(decodeWith(figure, '{ side: 3, radius: 2 }').codes).toEqual(['unknown-key']);
    expect(decodeWith(figure, '{}').codes).toEqual(['unclear-mapping']);
  });
});

describe('byWord', () => {
  const kinds = {
    big: whole(
      record({ id: 'big', called: 'a big one', intro: '' }, { kind: required(word(['big'], 'big'), '', 'big') }),
    ),
    small: whole(
      record(
        { id: 'small', called: 'a small one', intro: '' },
        { kind: required(word(['small'], 'small'), '', 'small') },
      ),
    ),
  };
  const sized = byWord<{ readonly kind: string }>('kind', kinds, 'a size');

  it('chooses by the word', () => {
    expect(decodeWith(sized, '{ kind: small }').value).toMatchObject({ kind: 'small' });
  });

  it.each([
    ['{}', 'missing-key'],
    ['{ kind: smal }', 'unknown-word'],
    ['{ kind: [small] }', 'wrong-kind'],
    ['{ kind: }', 'wrong-kind'],
    ['small', 'wrong-kind'],
  ])('refuses %s', (written, code) => {
    expect(decodeWith(sized, written).codes).toEqual([code]);
  });
});
