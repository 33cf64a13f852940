import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryCharacter } from '../../test/support/arbitrary-type.ts';
import type { Finding } from './finding.ts';
import {
  countFindings,
  findingJson,
  plainPalette,
  renderFinding,
  renderFindings,
  type Palette,
} from './render-finding.ts';
import { lineIndex } from './text-range.ts';

const text = 'contract: 1\nboard:\n\tname: Tank\n  nmae: Tank 2\n';

function finding(piece: string, more: Partial<Finding> = {}, whole = text): Finding {
  const start = whole.indexOf(piece);
  return {
    code: 'unknown-key',
    severity: 'error',
    message: '`nmae` is not a key of `board`',
    hint: 'write `name`',
    at: { start, end: start + piece.length },
    related: [],
    fixes: [],
    ...more,
  };
}

function render(one: Finding, whole = text): string {
  return renderFinding(one, 'tank.yaml', lineIndex(whole), plainPalette);
}

describe('a finding as text', () => {
  it('says where, what, shows the place and tells the remedy', () => {
    const start = text.indexOf('name: Tank');
    const related = [{ message: 'the name is given here', at: { start, end: start + 4 } }];
    expect(render(finding('nmae', { related }))).toBe(
      [
        'tank.yaml:4:3: error [unknown-key]',
        '  `nmae` is not a key of `board`',
        '  4 |   nmae: Tank 2',
        '    |   ^^^^',
        '  tank.yaml:3:2: the name is given here',
        '  3 |  name: Tank',
        '    |  ^^^^',
        '  remedy: write `name`',
      ].join('\n'),
    );
  });

  it('marks at least one column, and a piece of several lines to the end of its first', () => {
    expect(render(finding('nmae', { at: { start: text.length, end: text.length } }))).toContain('\n  5 | \n    | ^\n');
    expect(render(finding('board:\n\tname'))).toContain('\n  2 | board:\n    | ^^^^^^\n');
  });

  it('keeps the caret on the screen in a very long line', () => {
    const whole = `${'x'.repeat(5000)}HERE${'y'.repeat(5000)}`;
    const [, , line = '', caret = ''] = render(finding('HERE', {}, whole), whole).split('\n');
    expect(line.length).toBeLessThan(130);
    expect(line.slice(caret.indexOf('^'), caret.lastIndexOf('^') + 1)).toBe('HERE');
  });

  it('lets no control character, bidirectional mark or half a pair out', () => {
    const whole = 'a\u001b[31m\u0007b\u202ec\ud83d';
    const shown = render(finding('b', {}, whole), whole);
    expect(shown).toContain('  1 | a·[31m·b·c·');
    expect(shown).toContain(`\n    | ${' '.repeat(7)}^\n`);
  });

  it('does not end within a pair where the line is cut', () => {
    const whole = '\u{1f30a}'.repeat(100);
    const shown = render(finding('\u{1f30a}', {}, `x${whole}`), `x${whole}`);
    expect(/[\ud800-\udbff](?![\udc00-\udfff])/.test(shown)).toBe(false);
  });

  it('is painted by the palette alone', () => {
    const mark = (name: string) => (piece: string) => `<${name}>${piece}</${name}>`;
    const palette: Palette = {
      error: mark('e'),
      warning: mark('w'),
      note: mark('n'),
      strong: mark('s'),
      quiet: mark('q'),
    };
    const painted = renderFinding(finding('nmae', { severity: 'warning' }), 'f', lineIndex(text), palette);
    expect(painted).toContain('<w>warning</w>');
    expect(painted).toContain('<w>^^^^</w>');
    expect(painted.replace(/<\/?[ewnsq]>/g, '')).toBe(
      renderFinding(finding('nmae', { severity: 'warning' }), 'f', lineIndex(text), plainPalette),
    );
  });

  it('comes out for any place in any text', () => {
    fc.assert(
      fc.property(fc.string({ unit: arbitraryCharacter }), fc.nat(60), fc.nat(60), (whole, a, b) => {
        const range = { start: Math.min(a, b), end: Math.max(a, b) };
        const lines = render(finding('', { at: range }, whole), whole).split('\n');
        expect(lines.at(-2)).toMatch(/\^$/);
      }),
    );
  });
});

describe('many findings', () => {
  it('are separated by empty lines and counted', () => {
    const all = [finding('nmae'), finding('Tank', { severity: 'warning' }), finding('board', { severity: 'warning' })];
    const shown = renderFindings(all, 'tank.yaml', text);
    expect(shown.split('\n\n')).toHaveLength(4);
    expect(shown.endsWith('\n\ntank.yaml: 1 error, 2 warnings')).toBe(true);
    expect(countFindings([])).toBe('no findings');
    expect(countFindings([finding('x', { severity: 'note' })])).toBe('1 note');
  });

  it('are plain data with lines, columns and offsets for programs', () => {
    const start = text.indexOf('nmae');
    expect(
      findingJson(finding('nmae', { related: [{ message: 'm', at: { start: 0, end: 8 } }] }), lineIndex(text)),
    ).toEqual({
      code: 'unknown-key',
      severity: 'error',
      message: '`nmae` is not a key of `board`',
      hint: 'write `name`',
      place: { line: 4, column: 3, start, end: start + 4 },
      related: [{ message: 'm', place: { line: 1, column: 1, start: 0, end: 8 } }],
    });
  });
});
