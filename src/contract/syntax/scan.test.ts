import { describe, expect, it } from 'vitest';
import { places } from '../../../test/support/findings.ts';
import { deepest, mostWords } from './limits.ts';
import { scan, withoutControls } from './scan.ts';

const found = (text: string): readonly string[] => places(scan(text).findings, text);

describe('scan: nesting', () => {
  it.each([
    ['brackets', (n: number) => 'a: ' + '['.repeat(n) + ']'.repeat(n)],
    ['braces', (n: number) => '{a: '.repeat(n) + '}'.repeat(n)],
    ['block mappings', (n: number) => Array.from({ length: n }, (_, i) => `${' '.repeat(i)}a:`).join('\n')],
    ['hyphens on one line', (n: number) => '- '.repeat(n) + 'a'],
    ['question marks on one line', (n: number) => '? '.repeat(n) + 'a'],
    ['hyphens line by line', (n: number) => Array.from({ length: n }, (_, i) => `${' '.repeat(2 * i)}-`).join('\n')],
  ])('takes %s to the limit and stops beyond it', (_what, nest) => {
    expect(scan(nest(deepest - 4))).toMatchObject({ findings: [], readable: true });
    const deep = scan(nest(10_000));
    expect(deep).toMatchObject({ tokens: [], readable: false });
    expect(deep.findings.map(({ code }) => code)).toEqual(['nested-too-deep']);
  });

  it('counts levels, not lines: siblings and returns to the left do not add up', () => {
    const ladder = Array.from({ length: 30 }, (_, i) => `${' '.repeat(i)}a:`).join('\n');
    expect(scan(`${ladder}\n`.repeat(40)).findings).toEqual([]);
    expect(scan('- a\n'.repeat(1000)).findings).toEqual([]);
    expect(scan(`a: [${'[1], '.repeat(1000)}]`).findings).toEqual([]);
    expect(scan('a: {b: [c]}\n'.repeat(1000)).findings).toEqual([]);
  });

  it('does not count what stands in texts', () => {
    expect(scan(`a: "${'['.repeat(1000)}"\nb: '${'{'.repeat(1000)}'\nc: |\n  ${'- '.repeat(1000)}\n`).findings).toEqual(
      [],
    );
  });
});

describe('scan: what the language leaves out', () => {
  it('tells anchors, aliases, tags and directives where they stand', () => {
    expect(found('%YAML 1.2\n---\na: &x !!str 1\nb: *x\n')).toEqual([
      '1:1 directive',
      '3:4 anchor-or-alias',
      '3:7 tag',
      '4:4 anchor-or-alias',
    ]);
  });

  it('leaves such characters in texts alone', () => {
    expect(found(`a: "&x *y !z %w"\nb: 5 & 6 * 7 ! %\nc: '--- x'\n# &a *b\n`)).toEqual([]);
  });

  it.each([
    ['a: 1\n---\nb: 2\n', ['2:1 second-document']],
    ['a: 1\n...\nb: 2\n', ['3:1 second-document']],
    ['---\n---\na: 1\n', ['2:1 second-document']],
    ['---\na: 1\n...\n', []],
    ['# words\n--- # begin\na: 1\n', []],
  ])('finds a second document: %j', (text, expected) => {
    expect(found(text)).toEqual(expected);
  });

  it('ends the tokens before a second document', () => {
    expect(scan('a: 1\n---\nb: 2\n').tokens.join('')).not.toContain('b');
  });

  it('tells blanks that are no spaces, outside quotes only', () => {
    expect(found('a: b\u00a0c\nd: "e\u00a0f"\n\u2003g: 1\n')).toEqual(['1:5 odd-blank', '3:1 odd-blank']);
  });
});

describe('scan: size', () => {
  it('stops at too many words', () => {
    expect(scan(`[${'a,'.repeat(mostWords)}]`).findings.map(({ code }) => code)).toEqual(['too-many-words']);
    expect(scan('\n'.repeat(400_000)).findings.map(({ code }) => code)).toEqual(['too-many-words']);
  });
});

describe('withoutControls', () => {
  it('leaves tabs, line ends, letters and emoji alone', () => {
    const text = 'a\tb\nc\r\nd\u0085é\u{1f30a}\ue000';
    expect(withoutControls(text)).toEqual({ text, findings: [] });
  });

  it('puts one character for each, and tells each kind once with its count', () => {
    const { text, findings } = withoutControls('a\u0000b\u0000\rc\ud800');
    expect(text).toBe('a\ufffdb\ufffd\ufffdc\ufffd');
    expect(findings.map(({ at, message }) => [at.start, message])).toEqual([
      [1, 'NUL (U+0000) stands in the text, but only line ends and tabs may (2 such characters in all)'],
      [4, 'carriage return without line feed (U+000D) stands in the text, but only line ends and tabs may'],
      [6, 'character U+D800 stands in the text, but only line ends and tabs may'],
    ]);
  });
});
