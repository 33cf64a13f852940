import { parseRational } from '../../base/rational.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Finding } from '../../base/finding.ts';
import { describe, entryOf, shortText, type MapNode, type Node, type ScalarNode } from '../tree.ts';
import { listLength, repeatedEntry, reversedBounds, unclearMapping, wrongKind } from './findings.ts';
import { isPlainWord, isWord, oneOf, wholeNumber } from './scalars.ts';
import { missingIn } from './record.ts';
import { shape, within, type Report, type Shape } from './shape.ts';

export type ListOptions = {
  readonly min?: number;
  readonly max?: number;
  /** No word or number twice. */
  readonly distinct?: boolean;
};

/** A list; `undefined` when any of its entries is refused. */
export function list<T>(item: Shape<T>, wanted: string, options: ListOptions = {}): Shape<readonly T[]> {
  const loose = looseList(item, wanted, options);
  return {
    ...loose,
    decode(node, spot) {
      const items = loose.decode(node, spot);
      return node.kind === 'list' && items?.length === node.items.length ? items : undefined;
    },
  };
}

/** A list of what could be read; entries that were refused are left out, so that the others are still checked. */
export function looseList<T>(item: Shape<T>, wanted: string, options: ListOptions = {}): Shape<readonly T[]> {
  const { min = 0, max = Infinity, distinct = false } = options;
  return shape<readonly T[]>({
    wanted,
    // A list of one is easily written without its brackets.
    meant: (node) => (min <= 1 && isPlainWord(node) && item.fits(node) ? `[${node.text}]` : undefined),
    remedy: (node) => (node.kind === 'map' ? 'begin each entry of the list with `- `' : undefined),
    fits: (node) => node.kind === 'list',
    read(node, spot) {
      if (node.kind !== 'list') return undefined;
      const count = node.items.length;
      if (count < min || count > max) spot.report(listLength.at(node.at, { name: spot.name, count, min, max }));
      if (distinct) reportRepeats(node.items, spot.name, spot.report);
      const decoded = node.items.map((entry, i) => item.decode(entry, within(spot, `entry ${i + 1} of ${spot.name}`)));
      return count < min || count > max ? undefined : decoded.filter((value) => value !== undefined);
    },
    schema: () => ({
      type: 'array',
      items: item.schema(),
      ...(min > 0 ? { minItems: min } : {}),
      ...(max < Infinity ? { maxItems: max } : {}),
      ...(distinct ? { uniqueItems: true } : {}),
    }),
    records: () => item.records(),
    choices: () => item.choices(),
  });
}

function reportRepeats(items: readonly Node[], name: string, report: Report): void {
  const first = new Map<string, SourceRange>();
  for (const node of items) {
    if (node.kind !== 'scalar') continue;
    // 16 and 0x10 are one number.
    const number = node.type === 'number' ? parseRational(node.text) : undefined;
    const entry = number === undefined ? `text ${node.text}` : `number ${number.num}/${number.den}`;
    const before = first.get(entry);
    if (before === undefined) {
      first.set(entry, node.at);
      continue;
    }
    const related = [{ message: `\`${shortText(node.text)}\` stands first here`, at: before }];
    report(repeatedEntry.at(node.at, { name, entry: shortText(node.text) }, { related }));
  }
}

/** `[MIN, MAX]`, both of one shape, in this order. */
export function bounds<T>(
  bound: Shape<T>,
  order: (a: T, b: T) => number,
  show: (value: T) => string,
  wanted: string,
): Shape<{ readonly min: T; readonly max: T }> {
  const pair = list(bound, wanted, { min: 2, max: 2 });
  return shape<{ readonly min: T; readonly max: T }>({
    wanted,
    fits: (node) => node.kind === 'list',
    read(node, spot) {
      const [min, max] = pair.decode(node, spot) ?? [];
      if (min === undefined || max === undefined) return undefined;
      if (order(min, max) <= 0) return { min, max };
      const edit = node.kind === 'list' ? swapped(node.items) : [];
      const args = { name: spot.name, first: show(min), second: show(max) };
      spot.report(reversedBounds.at(node.at, args, { fixes: [{ title: 'Swap the bounds', edits: edit }] }));
      return undefined;
    },
    schema: () => pair.schema(),
  });
}

function swapped(items: readonly Node[]): { at: SourceRange; text: string }[] {
  const [a, b] = items;
  if (a?.kind !== 'scalar' || b?.kind !== 'scalar') return [];
  const written = (node: typeof a): string => (node.quoted ? `"${node.text}"` : node.text);
  return [
    { at: a.at, text: written(b) },
    { at: b.at, text: written(a) },
  ];
}

/** One `CODE: NAME` of a mapping. */
export type NamedCode = {
  readonly code: bigint;
  /** Written in hex: a bit pattern, where the sign matters. */
  readonly hex: boolean;
  readonly name: string;
  readonly codeAt: SourceRange;
  readonly nameAt: SourceRange;
};

/** A mapping from numbers to names, in the order of the text. */
export function namedCodes(name: Shape<string>, wanted: string): Shape<readonly NamedCode[]> {
  return shape<readonly NamedCode[]>({
    wanted,
    fits: (node) => node.kind === 'map',
    read(node, spot) {
      if (node.kind !== 'map') return undefined;
      if (node.entries.length === 0) {
        spot.report(listLength.at(node.at, { name: spot.name, count: 0, min: 1, max: Infinity }));
        return undefined;
      }
      const codes = node.entries.map(({ key, value }): NamedCode | undefined => {
        if (isPlainWord(key) && !codeShape.fits(key) && codeShape.fits(value)) {
          spot.report(nameBeforeCode(key, value, spot.name));
          return undefined;
        }
        const code = codeShape.decode(key, within(spot, `key of ${spot.name}`));
        const named = name.decode(value, within(spot, `name of \`${shortText(key.text)}\` in ${spot.name}`));
        if (code === undefined || named === undefined) return undefined;
        return { code, hex: /^0x/i.test(key.text), name: named, codeAt: key.at, nameAt: value.at };
      });
      const whole = codes.filter((code) => code !== undefined);
      return whole.length === codes.length ? whole : undefined;
    },
    schema: () => ({
      type: 'object',
      minProperties: 1,
      propertyNames: { pattern: '^[-+]?(0x[0-9A-Fa-f]+|[0-9.eE+-]+)$' },
      additionalProperties: name.schema(),
    }),
  });
}

function nameBeforeCode(key: ScalarNode, value: Node, name: string): Finding {
  const code = value.kind === 'scalar' ? value.text : '';
  const args = { name: `key of ${name}`, found: describe(key), wanted: 'a code number', write: `${code}: ${key.text}` };
  const edits = [
    { at: key.at, text: code },
    { at: value.at, text: key.text },
  ];
  return wrongKind.at(key.at, args, { fixes: [{ title: 'Swap name and code', edits }] });
}

const codeShape: Shape<bigint> = shape({
  wanted: 'a code number',
  fits: (node) => node.kind === 'scalar' && node.type === 'number',
  read: wholeNumber,
  schema: () => ({ type: 'integer' }),
});

/** Mappings of several kinds, told apart by one key that only the kind has. */
export function byKey<T>(kinds: Readonly<Record<string, Shape<T>>>, wanted: string): Shape<T> {
  const keys = Object.keys(kinds);
  return shape<T>({
    wanted,
    fits: (node) => node.kind === 'map',
    read(node, spot) {
      if (node.kind !== 'map') return undefined;
      const key = keys.find((candidate) => entryOf(node, candidate) !== undefined);
      const kind = key === undefined ? undefined : kinds[key];
      if (kind !== undefined) return kind.decode(node, spot);
      spot.report(unclearMapping.at(startOf(node), { name: spot.name, keys }));
      return undefined;
    },
    schema: () => ({ anyOf: Object.values(kinds).map((kind) => kind.schema()) }),
    records: () => Object.values(kinds).flatMap((kind) => kind.records()),
  });
}

/** Mappings of several kinds, told apart by the word under `key`. */
export function byWord<T>(key: string, kinds: Readonly<Record<string, Shape<T>>>, wanted: string): Shape<T> {
  const words = Object.keys(kinds);
  return shape<T>({
    wanted,
    meant: (node) => (isWord(node) && words.includes(node.text) ? `{ ${key}: ${node.text} }` : undefined),
    fits: (node) => node.kind === 'map',
    read(node, spot) {
      if (node.kind !== 'map') return undefined;
      const said = entryOf(node, key)?.value;
      if (said === undefined) {
        spot.report(missingIn(node, key, wanted, words[0] ?? ''));
        return undefined;
      }
      if (said.kind === 'broken') return undefined;
      if (!isWord(said)) {
        const args = { name: `\`${key}\``, found: describe(said), wanted: 'a word' };
        spot.report(wrongKind.at(said.at, args));
        return undefined;
      }
      const kind = oneOf(said, words, within(spot, `\`${key}\``));
      return kind === undefined ? undefined : kinds[kind]?.decode(node, spot);
    },
    schema: () => ({ anyOf: Object.values(kinds).map((kind) => kind.schema()) }),
    records: () => Object.values(kinds).flatMap((kind) => kind.records()),
  });
}

/** The range of a mapping's first key: a short place to point at. */
export function startOf(node: MapNode): SourceRange {
  return node.entries[0]?.key.at ?? node.at;
}
