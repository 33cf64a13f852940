import { expect, it } from 'vitest';
import { lineIndex } from '../../base/text-range.ts';
import { excerptOf } from './excerpt.ts';

it('shows an entity from its first line to the last one indented as its keys', () => {
  const lines = lineIndex('a:\n  - id: x\n    label: X\n  - id: y\n');
  expect(excerptOf(lines, { line: 2, column: 5 })).toEqual([
    { line: 2, text: '  - id: x' },
    { line: 3, text: '    label: X' },
  ]);
});

it('is bounded in lines and characters, and defuses what would turn the text around', () => {
  const lines = lineIndex(`a: ${'x'.repeat(5000)}\u202e\n${'b: 1\n'.repeat(50)}`);
  const shown = excerptOf(lines, { line: 1, column: 1 });
  expect(shown.length).toBe(8);
  expect(shown[0]!.text.length).toBe(121);
  expect(excerptOf(lineIndex('a: \u202eb'), { line: 1, column: 1 })[0]!.text).toBe('a: ·b');
});
