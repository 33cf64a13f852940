import { describe, expect, it } from 'vitest';
import { stamped, stampOf } from './stamp.ts';

const origin = { version: '1.2.3', contract: 'tank*/.yaml' };

describe('the first line of an emitted file', () => {
  it.each([
    ['a.c', '/* gattwright 1.2.3 made this file from tank__.yaml; change the contract, not this file. hash '],
    ['README.md', '<!-- gattwright 1.2.3 made this file from tank__.yaml; change the contract, not this file. hash '],
    ['CMakeLists.txt', '# gattwright 1.2.3 made this file from tank__.yaml; change the contract, not this file. hash '],
  ])('of %s', (path, beginning) => {
    const { content } = stamped({ path, content: 'text\n', owner: 'generated' }, origin);
    expect(content.startsWith(beginning)).toBe(true);
    expect(content.split('\n')).toHaveLength(3);
  });

  it('tells whether the file is as it was made', () => {
    const { content } = stamped({ path: 'app.c', content: 'int x;\n', owner: 'student' }, origin);
    expect(stampOf(content)).toBe('untouched');
    expect(stampOf(content.replaceAll('\n', '\r\n'))).toBe('untouched');
    expect(stampOf(content.replace('x', 'y'))).toBe('changed');
    expect(stampOf('int x;\n')).toBe('none');
    expect(stampOf('')).toBe('none');
  });
});
