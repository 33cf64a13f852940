import { expect, it } from 'vitest';
import { Writer } from './writer.ts';

it('indents blocks, joins gaps and ends with one line end', () => {
  const writer = new Writer().gap().line('a').gap().gap();
  writer.block('b {', '}', () => writer.line('c').line().line('d')).gap();
  expect(writer.text()).toBe('a\n\nb {\n  c\n\n  d\n}\n');
});
