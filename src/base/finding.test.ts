import { describe, expect, it } from 'vitest';
import { compareText, findingKind, hasErrors, sortFindings, type Finding } from './finding.ts';

const tooWide = findingKind<{ id: string; found: number; most: number }>({
  code: 'too-wide',
  severity: 'error',
  title: 'Value too wide',
  why: 'It does not fit.',
  source: 'common practice',
  bad: 'bad',
  good: 'good',
  message: ({ id, found, most }) => `\`${id}\` has ${found} octets; at most ${most} fit`,
  hint: ({ most }) => `set \`length\` to ${most} or less`,
});

function at(start: number, end: number, code = 'x', message = 'm'): Finding {
  return { code, severity: 'warning', message, hint: 'h', at: { start, end }, related: [], fixes: [] };
}

describe('kinds of findings', () => {
  it('make findings whose words hold what was found and what is allowed', () => {
    const finding = tooWide.at({ start: 3, end: 7 }, { id: 'note', found: 600, most: 512 });
    expect(finding).toEqual({
      code: 'too-wide',
      severity: 'error',
      message: '`note` has 600 octets; at most 512 fit',
      hint: 'set `length` to 512 or less',
      at: { start: 3, end: 7 },
      related: [],
      fixes: [],
    });
    const related = [{ message: 'the limit stands here', at: { start: 0, end: 1 } }];
    expect(tooWide.at({ start: 3, end: 7 }, { id: 'note', found: 600, most: 512 }, { related }).related).toBe(related);
  });

  it('keep their documentation apart from their words', () => {
    expect(Object.keys(tooWide.doc).sort()).toEqual(['bad', 'code', 'good', 'severity', 'source', 'title', 'why']);
  });
});

describe('findings', () => {
  it('come in the order of place, code and message', () => {
    const sorted = [at(1, 2, 'a', 'a'), at(1, 2, 'a', 'b'), at(1, 2, 'b'), at(1, 3, 'a'), at(2, 2, 'a')];
    expect(sortFindings([...sorted].reverse())).toEqual(sorted);
  });

  it('are errors only by their severity', () => {
    expect(hasErrors([at(0, 1)])).toBe(false);
    expect(hasErrors([at(0, 1), { ...at(0, 1), severity: 'error' }])).toBe(true);
  });

  it('are ordered by UTF-16 units, not by a locale', () => {
    expect(['b', 'B', 'a', 'ä', 'Z'].sort(compareText)).toEqual(['B', 'Z', 'a', 'b', 'ä']);
  });
});
