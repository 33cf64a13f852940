import { fromHex, type Bytes } from '../../base/bytes.ts';
import { isInteger, parseRational, type Rational } from '../../base/rational.ts';
import { parseUuid, type Uuid } from '../../base/uuid.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import { describe, shortText, type Node, type ScalarNode } from '../tree.ts';
import {
  hexForm,
  idForm,
  leadingZero,
  needsQuotes,
  notAboveZero,
  notFinite,
  notWhole,
  outOfBounds,
  textLength,
  unknownWord,
  unprintableCharacter,
  uuidForm,
} from './findings.ts';
import { writeInstead } from './fixes.ts';
import { map, shape, type Shape, type Spot } from './shape.ts';

export function isText(node: Node): node is ScalarNode & { readonly type: 'text' } {
  return node.kind === 'scalar' && node.type === 'text';
}

export function isNumber(node: Node): node is ScalarNode & { readonly type: 'number' } {
  return node.kind === 'scalar' && node.type === 'number';
}

/** A word of letters, digits and hyphens, which stays one wherever it is written. */
export function isPlainWord(node: Node): node is ScalarNode {
  return isWord(node) && /^[a-z0-9][a-z0-9-]*$/i.test(node.text);
}

/** Scalars that say something: all but null. */
export function isWord(node: Node): node is ScalarNode {
  return node.kind === 'scalar' && node.type !== 'null';
}

/**
 * A text. A number or `true` without quotes is refused rather than taken by its spelling, because other readers of the
 * same file would not.
 *
 * @param max octets of UTF-8
 */
export function text(max: number, min = 1): Shape<string> {
  return textWithout(/\p{Surrogate}/u, max, min);
}

/** A text of one line that shows: a name, a label. */
export function line(max: number, min = 1): Shape<string> {
  return textWithout(/\p{Surrogate}|\p{Control}/u, max, min);
}

function textWithout(refused: RegExp, max: number, min: number): Shape<string> {
  return shape({
    wanted: 'a text',
    fits: isWord,
    read(node, spot) {
      if (!isWord(node)) return undefined;
      if (!isText(node)) {
        const kind = node.type === 'number' ? 'a number' : 'a truth value';
        const fixes = [{ title: 'Put it in quotes', edits: [{ at: node.at, text: `"${node.text}"` }] }];
        spot.report(needsQuotes.at(node.at, { name: spot.name, text: shortText(node.text), kind }, { fixes }));
        return undefined;
      }
      const unit = refused.exec(node.text)?.[0].charCodeAt(0);
      if (unit !== undefined) {
        spot.report(unprintableCharacter.at(node.at, { name: spot.name, unit, half: unit >= 0xd800 }));
        return undefined;
      }
      const octets = encodeUtf8(node.text).length;
      if (octets >= min && octets <= max) return node.text;
      spot.report(textLength.at(node.at, { name: spot.name, octets, min, max }));
      return undefined;
    },
    schema: () => ({ type: 'string', minLength: min, maxLength: max }),
  });
}

/** One of a few words. */
export function word<const W extends string>(words: readonly W[], wanted: string): Shape<W> {
  return shape({
    wanted,
    fits: isWord,
    read: (node, spot) => (isWord(node) ? oneOf(node, words, spot) : undefined),
    schema: () => ({ enum: words }),
    choices: () => words,
  });
}

/** The word of `words` that the node says, or a finding with the nearest one and a fix. */
export function oneOf<W extends string>(node: ScalarNode, words: readonly W[], spot: Spot): W | undefined {
  const found = words.find((candidate) => candidate === node.text);
  if (found !== undefined) return found;
  const like = spot.suggest(node.text, words);
  const args = { name: spot.name, word: shortText(node.text), nearest: like, words };
  spot.report(unknownWord.at(node.at, args, { fixes: writeInstead(node.at, like) }));
  return undefined;
}

const otherTruths: Readonly<Record<string, string>> = {
  yes: 'true',
  on: 'true',
  '1': 'true',
  no: 'false',
  off: 'false',
  '0': 'false',
};

export const truth: Shape<boolean> = shape({
  wanted: '`true` or `false`',
  fits: (node) => node.kind === 'scalar' && node.type === 'boolean',
  read: (node) => node.kind === 'scalar' && node.text.toLowerCase() === 'true',
  // YAML 1.1, and people, have more words for it.
  meant: (node) => (isWord(node) ? otherTruths[node.text.toLowerCase()] : undefined),
  schema: () => ({ type: 'boolean' }),
});

/** Any exact decimal number, or a hex integer. */
export const decimal: Shape<Rational> = shape({
  wanted: 'a number',
  fits: isNumber,
  read: (node, spot) => (isNumber(node) ? exactNumber(node, spot) : undefined),
  schema: () => ({ type: 'number' }),
});

/** A number above zero. */
export const positive: Shape<Rational> = {
  ...map(decimal, (value, node, spot) => {
    if (value.num > 0n) return value;
    const found = node.kind === 'scalar' ? node.text : '';
    spot.report(notAboveZero.at(node.at, { name: spot.name, found, what: 'a number' }));
    return undefined;
  }),
  wanted: 'a number above 0',
  schema: () => ({ type: 'number', exclusiveMinimum: 0 }),
};

function exactNumber(node: ScalarNode, spot: Spot): Rational | undefined {
  if (/^[-+]?0[0-9]/.test(node.text)) {
    const bare = node.text.replace(/^([-+]?)0+(?=[0-9])/, '$1');
    spot.report(leadingZero.at(node.at, { name: spot.name, text: shortText(node.text), bare: shortText(bare) }));
    return undefined;
  }
  const value = parseRational(node.text);
  if (value === undefined) spot.report(notFinite.at(node.at, { name: spot.name, text: shortText(node.text) }));
  return value;
}

/** A whole number of any size. */
export function wholeNumber(node: Node, spot: Spot): bigint | undefined {
  if (!isNumber(node)) return undefined;
  const value = exactNumber(node, spot);
  if (value === undefined) return undefined;
  if (isInteger(value)) return value.num;
  spot.report(notWhole.at(node.at, { name: spot.name, text: shortText(node.text) }));
  return undefined;
}

/** How the bounds of a whole number are written. */
export type WholeOptions = {
  /** Bounds in four hex digits, as codes and handles are. */
  readonly hex?: boolean;
  /** Behind the number: ` dBm`. */
  readonly unit?: string;
};

/** A whole number, bounds inclusive. */
export function whole(min: number, max: number, options: WholeOptions = {}): Shape<number> {
  const digits = (value: number): string =>
    options.hex === true
      ? `0x${value
          .toString(16)
          .toUpperCase()
          .padStart(max > 0xff ? 4 : 2, '0')}`
      : String(value);
  const low = digits(min);
  const high = digits(max) + (options.unit === undefined ? '' : ` ${options.unit}`);
  return shape({
    wanted: min === max ? high : `a whole number from ${low} to ${high}`,
    fits: isNumber,
    read(node, spot) {
      const value = wholeNumber(node, spot);
      if (value === undefined) return undefined;
      if (value >= BigInt(min) && value <= BigInt(max)) return Number(value);
      const found = node.kind === 'scalar' ? shortText(node.text) : '';
      spot.report(outOfBounds.at(node.at, { name: spot.name, found, min: min === max ? high : low, max: high }));
      return undefined;
    },
    schema: () => ({ type: 'integer', minimum: min, maximum: max }),
  });
}

/** Longest id in characters. */
const longestId = 32;

export function isId(word: string): boolean {
  return word.length <= longestId && /^[a-z][a-z0-9-]*$/.test(word);
}

export const id: Shape<string> = shape({
  wanted: 'an id',
  fits: isWord,
  read(node, spot) {
    if (!isWord(node)) return undefined;
    if (isText(node) && isId(node.text)) return node.text;
    const suggestion = suggestId(node.text);
    const fixes = writeInstead(node.at, suggestion);
    spot.report(idForm.at(node.at, { name: spot.name, id: shortText(node.text), suggestion }, { fixes }));
    return undefined;
  },
  schema: () => ({ type: 'string', pattern: `^[a-z][a-z0-9-]{0,${longestId - 1}}$` }),
});

/** The text with what an id cannot hold made into hyphens; `undefined` when little is left. */
function suggestId(from: string): string | undefined {
  const made = from
    .slice(0, 200)
    .replace(/([a-z0-9])([A-Z])/g, '$1-$2')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^[^a-z]+|-+$/g, '')
    .slice(0, longestId)
    .replace(/-+$/, '');
  // A plain `true`, `null` or the like would be no text.
  return made.length < 2 || /^(?:true|false|null)$/.test(made) ? undefined : made;
}

/** A UUID: 16 bits as a hex number (`0x180F`), 128 bits in 36 characters. */
export const uuid: Shape<Uuid> = shape({
  wanted: 'a UUID',
  fits: isWord,
  read(node, spot) {
    if (!isWord(node)) return undefined;
    const found = /^(?:0x[0-9a-f]{4}|[0-9a-f-]{36})$/i.test(node.text) ? parseUuid(node.text) : undefined;
    if (found !== undefined) return found;
    const bare = /^[0-9a-f]{4}$/i.test(node.text);
    const prefixed = bare ? `0x${node.text.toUpperCase()}` : undefined;
    const hint =
      prefixed === undefined
        ? 'write a 16-bit UUID as `0x180F`, a 128-bit one as `6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0`'
        : `write \`${prefixed}\``;
    const fixes = writeInstead(node.at, prefixed);
    spot.report(uuidForm.at(node.at, { name: spot.name, found: describe(node), hint }, { fixes }));
    return undefined;
  },
  schema: () => ({
    anyOf: [
      { type: 'integer', minimum: 0, maximum: 0xffff },
      { type: 'string', pattern: '^(0x[0-9A-Fa-f]{4}|[0-9A-Fa-f]{8}(-[0-9A-Fa-f]{4}){3}-[0-9A-Fa-f]{12})$' },
    ],
  }),
});

/** Octets as hex digits; blanks, `:` and `-` may stand between them. */
export function hexBytes(max: number): Shape<Bytes> {
  return shape({
    wanted: 'octets in hex',
    fits: isWord,
    read(node, spot) {
      if (!isWord(node)) return undefined;
      if (!isText(node)) {
        // Reports the missing quotes.
        text(2 * max).decode(node, spot);
        return undefined;
      }
      const bytes = fromHex(node.text);
      if (bytes === undefined) {
        spot.report(hexForm.at(node.at, { name: spot.name, found: describe(node) }));
        return undefined;
      }
      if (bytes.length <= max) return bytes;
      const found = `${bytes.length} octets`;
      spot.report(outOfBounds.at(node.at, { name: spot.name, found, min: '0', max: `${max} octets` }));
      return undefined;
    },
    schema: () => ({ type: 'string', pattern: '^[0-9A-Fa-f\\s:-]*$' }),
  });
}
