import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { parse as parseYaml } from 'yaml';
import { places } from '../../../test/support/findings.ts';
import type { MapNode, Node } from '../tree.ts';
import { parseTree } from './parse-tree.ts';

/** The tree as plain data: texts as they are written, with a mark for what they would be without quotes. */
function plain(node: Node | undefined): unknown {
  switch (node?.kind) {
    case 'scalar':
      return node.type === 'text' ? node.text : { [node.type]: node.text };
    case 'list':
      return node.items.map(plain);
    case 'map':
      return Object.fromEntries(node.entries.map(({ key, value }) => [key.text, plain(value)]));
    default:
      return node?.kind;
  }
}

const errors = (text: string): readonly string[] => places(parseTree(text).findings, text);

describe('parseTree', () => {
  it('keeps numbers as they are written and texts without quotes', () => {
    const text = `a: 1.50\nb: 0x0540\nc: "1.50"\nd: 'it''s'\ne: 30 ms\nf: true\ng: ~\nh:\ni: .inf\nj: -12e-3\n`;
    expect(plain(parseTree(text).root)).toEqual({
      a: { number: '1.50' },
      b: { number: '0x0540' },
      c: '1.50',
      d: "it's",
      e: '30 ms',
      f: { boolean: 'true' },
      g: { null: '~' },
      h: { null: '' },
      i: { number: '.inf' },
      j: { number: '-12e-3' },
    });
  });

  it('takes no word of older YAML for a truth value or a number', () => {
    expect(plain(parseTree('[yes, no, on, off, 010, 1_000, 12:30, 0b1]').root)).toEqual([
      'yes',
      'no',
      'on',
      'off',
      { number: '010' },
      '1_000',
      '12:30',
      '0b1',
    ]);
  });

  it('agrees with the library on what is null, a truth value, a number or a text', () => {
    const word = fc.oneof(
      fc.constantFrom(
        'null',
        'Null',
        '~',
        'true',
        'True',
        'TRUE',
        'false',
        '1.',
        '.5',
        '-.5',
        '+1',
        '1e5',
        '1E+5',
        '0x1f',
        '0xg',
        '0o17',
        '.nan',
        '-.Inf',
        'e5',
        '-',
        '1.2.3',
        '++1',
      ),
      fc.stringMatching(/^[0-9a-fx.+eE-]{1,6}$/),
    );
    fc.assert(
      fc.property(word, (text) => {
        const source = `a: ${text}\n`;
        const node = (parseTree(source).root as MapNode | undefined)?.entries[0]?.value;
        if (node?.kind !== 'scalar') return;
        const value = (parseYaml(source) as { a: unknown }).a;
        const type = value === null ? 'null' : typeof value === 'string' ? 'text' : typeof value;
        expect([text, node.type]).toEqual([text, type]);
      }),
      { numRuns: 300 },
    );
  });

  it('gives each node its range', () => {
    const text = 'a: { b: "c" }\nd:\n  - e\n';
    const { root } = parseTree(text);
    const shown: string[] = [];
    const visit = (node: Node): void => {
      shown.push(text.slice(node.at.start, node.at.end));
      if (node.kind === 'list') node.items.forEach(visit);
      if (node.kind === 'map') {
        for (const { key, value } of node.entries) {
          visit(key);
          visit(value);
        }
      }
    };
    visit(root!);
    expect(shown.map((piece) => piece.trimEnd())).toEqual([
      text.trimEnd(),
      'a',
      '{ b: "c" }',
      'b',
      '"c"',
      'd',
      '- e',
      'e',
    ]);
  });

  it('puts an empty value on its key', () => {
    const { root } = parseTree('board:\n');
    const [entry] = (root as MapNode).entries;
    expect(entry?.value.at).toEqual(entry?.key.at);
  });

  it('joins folded and literal block texts', () => {
    expect(plain(parseTree('a: |\n  one\n  two\nb: >-\n  one\n  two\nc: one\n  two\n').root)).toEqual({
      a: 'one\ntwo\n',
      b: 'one two',
      c: 'one two',
    });
  });

  it('keeps the first of two equal keys and points at it', () => {
    const { root, findings } = parseTree('a: 1\nb: 2\na: 3\n"b": 4\n');
    expect(plain(root)).toEqual({ a: { number: '1' }, b: { number: '2' } });
    expect(findings.map(({ at, related }) => [at.start, related[0]?.at.start])).toEqual([
      [10, 0],
      [15, 5],
    ]);
  });

  it('takes a quoted << for a key, and a plain one for a merge', () => {
    expect(errors('"<<": 1\n')).toEqual([]);
    expect(errors('<<: { a: 1 }\n')).toEqual(['1:1 merge-key']);
  });

  it('goes on behind anchors, with the value in place and aliases broken', () => {
    expect(plain(parseTree('a: &x 1\nb: *x\n').root)).toEqual({ a: { number: '1' }, b: 'broken' });
  });

  it.each([
    ['a: [1, 2\nb: 3\n', ['2:1 missing-character']],
    ['a: "x\nb: 1\n', ['1:4 missing-character']],
    ["a: 'it''s\n", ['1:4 missing-character']],
    ['a: { b 1 }\n  c: 2\n', ['2:3 uneven-indentation']],
    ['a: {b c: d e: f}\n', ['1:10 missing-character']],
    ['board: { name: A ] }\n', ['1:18 unexpected-text']],
    ['a: b: c\n', ['1:4 colon-in-value']],
    ['a: b\n  c: d\n', ['2:3 uneven-indentation']],
    ['a:\n  - b\n - c\n', ['3:2 uneven-indentation']],
    ['a:\n   b: 1\n  c: 2\n', ['3:3 uneven-indentation']],
    ['a: - b\n', ['1:4 unexpected-text']],
    ['a:\n\tb: 1\n', ['2:1 tab-indentation']],
    ['a: "\\z"\n', ['1:5 bad-escape']],
    ['a: "\\u12"\n', ['1:5 bad-escape']],
    ['a: @b\nc: `d\n', ['1:4 reserved-character', '2:4 reserved-character']],
    ['board\n  name: x\n', ['1:1 key-over-lines']],
    ['a: 1#b\nc: "d"#e\n', ['2:7 missing-character']],
    ['a: [\n  - b\n]\n', ['2:3 block-in-brackets']],
  ])('words a mistake in the YAML itself: %j', (text, expected) => {
    expect(errors(text)).toEqual(expected);
    expect(parseTree(text).root).toBeUndefined();
  });

  it('tells the first mistake in the structure, and every one within a value', () => {
    expect(errors('a: {,,,,}\nb: [,,]\n')).toEqual(['1:6 unexpected-text']);
    expect(errors('a: @b\nb: [,,]\nc: {,}\nd: @d @e\n')).toEqual([
      '1:4 reserved-character',
      '2:6 unexpected-text',
      '4:4 reserved-character',
    ]);
  });
});
