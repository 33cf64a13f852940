import { expect, it } from 'vitest';
import { blockComment, commentText, wrap } from './comment.ts';

it('lets no text end a comment, begin one, or reorder what is read', () => {
  const text = commentText('a */ b /* c ??/ d \u202e e \n f *//*');
  expect(text).not.toMatch(/\*\/|\/\*|\?\?\/|\n|\u202e/);
  expect(text).toContain('a * / b / * c');
});

it('wraps words, and leaves a long one whole', () => {
  expect(wrap('aa bb cc', 5)).toEqual(['aa bb', 'cc']);
  expect(wrap('aaaaaaaa b', 5)).toEqual(['aaaaaaaa', 'b']);
});

it('is one line, or several that end in the mark', () => {
  expect(blockComment(['one'])).toEqual(['/* one */']);
  expect(blockComment(['one', 'two', 'three'])).toEqual(['/* one', '   two', '   three */']);
});
