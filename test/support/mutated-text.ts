import fc from 'fast-check';

type Change = (text: string) => string;

const pick = (n: number, below: number): number => (below === 0 ? 0 : n % below);

/** Words and marks that mean something somewhere in a contract, or break something. */
const tokens = [
  '',
  ' ',
  '  ',
  '\t',
  '\n',
  ':',
  ': ',
  '- ',
  ',',
  '[',
  ']',
  '{',
  '}',
  '"',
  "'",
  '#',
  '&a',
  '*a',
  '!!str',
  '<<',
  '---',
  '|',
  '>',
  '~',
  'null',
  'true',
  '0',
  '-1',
  '1.5',
  '0x10',
  '1e400',
  '.inf',
  '99999999999999999999',
  'uint8',
  'sint128',
  'utf8',
  'bytes',
  'float32',
  'medfloat16',
  '{ enum: uint8, names: { 0: a } }',
  '{ flags: uint8, names: { 9: a } }',
  '{ struct: [] }',
  '{ array: uint8, count: 512 }',
  '{ array: { array: uint128, count: 512 }, count: 512 }',
  '[1, 0]',
  '[0, 600]',
  '{ decimal: -128 }',
  'hertz',
  'second',
  'percentage',
  'temperature',
  'heart-rate-measurement',
  'battery',
  '30 ms',
  'every 1 s',
  '5 per min',
  'a'.repeat(300),
  '\u0000',
  '\u00a0',
  '\ud800',
  '🌊',
];

const change: fc.Arbitrary<Change> = fc.oneof(
  // Lines: one deleted, doubled, moved, indented otherwise.
  fc.tuple(fc.nat(), fc.nat(), fc.nat(3)).map(([from, to, what]): Change => (text) => {
    const lines = text.split('\n');
    const at = pick(from, lines.length);
    const line = lines[at] ?? '';
    if (what === 0) lines.splice(at, 1);
    else if (what === 1) lines.splice(pick(to, lines.length), 0, line);
    else if (what === 2) lines[at] = `  ${line}`;
    else lines[at] = line.replace(/^ {2}/, '');
    return lines.join('\n');
  }),
  // A word replaced by another of the text, or by one from the list.
  fc.tuple(fc.nat(), fc.nat(), fc.boolean()).map(([at, other, own]): Change => (text) => {
    const words = [...text.matchAll(/[^\s,:[\]{}]+/g)];
    const target = words[pick(at, words.length)];
    if (target === undefined) return text;
    const insert = own ? (words[pick(other, words.length)]?.[0] ?? '') : (tokens[pick(other, tokens.length)] ?? '');
    return text.slice(0, target.index) + insert + text.slice(target.index + target[0].length);
  }),
  // A value behind a colon replaced by one from the list.
  fc.tuple(fc.nat(), fc.nat()).map(([at, other]): Change => (text) => {
    const values = [...text.matchAll(/(?<=: )[^\n]+/g)];
    const target = values[pick(at, values.length)];
    if (target === undefined) return text;
    return (
      text.slice(0, target.index) +
      (tokens[pick(other, tokens.length)] ?? '') +
      text.slice(target.index + target[0].length)
    );
  }),
  // Characters: some deleted, a token put in.
  fc.tuple(fc.nat(), fc.nat(3), fc.nat()).map(([at, length, token]): Change => (text) => {
    const from = pick(at, text.length);
    return text.slice(0, from) + (tokens[pick(token, tokens.length)] ?? '') + text.slice(from + length);
  }),
);

/** The text after one to six random changes of lines, words, values and characters. */
export function mutatedText(text: string): fc.Arbitrary<string> {
  return fc
    .array(change, { minLength: 1, maxLength: 6 })
    .map((changes) => changes.reduce((changed, apply) => apply(changed), text));
}
