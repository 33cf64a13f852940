import type { Bytes } from '../../base/bytes.ts';
import { add, parseRational, type Rational } from '../../base/rational.ts';
import { encode } from '../../values/codec.ts';
import { checkCoded } from '../../values/check.ts';
import { floatSpecials } from '../../values/float-coding.ts';
import { toCoded, type Quantised } from '../../values/physical.ts';
import { refusalText } from '../../values/refusal.ts';
import { withUnit, exactNumber } from '../../values/show-number.ts';
import type {
  Coded,
  EnumType,
  FlagsType,
  FloatType,
  IntegerType,
  Physical,
  StructType,
  ValueType,
} from '../../values/type.ts';
import { list } from '../shapes/composite.ts';
import { listLength, missingKey, unknownKey, unknownWord, wrongKind } from '../shapes/findings.ts';
import { writeInstead, writeText } from '../shapes/fixes.ts';
import { decimal, hexBytes, isNumber, isText, text, truth } from '../shapes/scalars.ts';
import { shape, within, type Shape, type Spot } from '../shapes/shape.ts';
import { describe, shortText, type Node } from '../tree.ts';
import { valueRefused, valueRounded } from './findings.ts';
import { longestValue } from '../entities/value-type.ts';

/**
 * The octets of a value that the contract writes in physical form (`start`, a safe value); or findings at the very part
 * that cannot be held.
 */
export function encodeNode(type: ValueType, node: Node, spot: Spot): Bytes | undefined {
  const coded = codeNode(type, node, spot);
  if (coded === undefined) return undefined;
  const encoded = encode(type, coded);
  if (encoded.ok) return encoded.value;
  spot.report(valueRefused.at(node.at, { name: spot.name, why: refusalText(encoded.refusal) }));
  return undefined;
}

function codeNode(type: ValueType, node: Node, spot: Spot): Coded | undefined {
  switch (type.kind) {
    case 'boolean': {
      const value = truth.decode(node, spot);
      return value === undefined ? undefined : { kind: 'boolean', value };
    }
    case 'integer':
      return codeNumber(
        type,
        node,
        type.special.map(({ name }) => name),
        spot,
      );
    case 'float':
      return codeNumber(type, node, type.range === undefined ? floatSpecials(type.format) : [], spot);
    case 'text': {
      const value = text(2 * longestValue, 0).decode(node, spot);
      return value === undefined ? undefined : settle(type, { kind: 'text', value }, node, spot)?.coded;
    }
    case 'bytes': {
      const value = hexBytes(longestValue).decode(node, spot);
      return value === undefined ? undefined : settle(type, { kind: 'bytes', value }, node, spot)?.coded;
    }
    case 'enum':
      return codeChoice(type, node, spot);
    case 'flags':
      return codeFlags(type, node, spot);
    case 'struct':
      return codeStruct(type, node, spot);
    case 'array': {
      if (node.kind === 'list' && node.items.length > type.maxCount) {
        const args = { name: spot.name, count: node.items.length, min: type.minCount, max: type.maxCount };
        spot.report(listLength.at(node.at, args));
        return undefined;
      }
      const item = shape<Coded>({
        wanted: 'an element',
        fits: () => true,
        read: (entry, at) => codeNode(type.element, entry, at),
        schema: () => ({}),
      });
      const items = list(item, 'a list of elements').decode(node, spot);
      if (items === undefined) return undefined;
      const coded: Coded = { kind: 'array', items };
      const encoded = encode(type, coded);
      if (encoded.ok) return coded;
      spot.report(valueRefused.at(node.at, { name: spot.name, why: refusalText(encoded.refusal) }));
      return undefined;
    }
  }
}

/** Takes a physical value to its coded form, checked against what the contract allows. */
function settle(type: ValueType, physical: Physical, node: Node, spot: Spot): Quantised | undefined {
  const made = toCoded(type, physical);
  const refusal = made.ok ? checkCoded(type, made.value.coded) : made.refusal;
  if (made.ok && refusal === undefined) return made.value;
  if (refusal !== undefined) spot.report(valueRefused.at(node.at, { name: spot.name, why: refusalText(refusal) }));
  return undefined;
}

function codeNumber(
  type: IntegerType | FloatType,
  node: Node,
  specials: readonly string[],
  spot: Spot,
): Coded | undefined {
  if (isText(node) && specials.includes(node.text)) {
    return settle(type, { kind: 'special', name: node.text }, node, spot)?.coded;
  }
  if (isText(node) && specials.length > 0) {
    const like = spot.suggest(node.text, specials);
    const args = { name: spot.name, word: shortText(node.text), nearest: like, words: ['a number', ...specials] };
    spot.report(unknownWord.at(node.at, args));
    return undefined;
  }
  const value = decimal.decode(node, spot);
  if (value === undefined) return undefined;
  const made = settle(type, { kind: 'number', value }, node, spot);
  // A binary float is hardly ever exact; a scaled integer is meant to be.
  if (type.kind === 'integer' && made !== undefined && made.error.num !== 0n) {
    reportRounding(type, value, made.error, node, spot);
  }
  return made?.coded;
}

function reportRounding(type: IntegerType, value: Rational, error: Rational, node: Node, spot: Spot): void {
  const asked = withUnit(exactNumber(value), type.unit);
  const write = exactNumber(add(value, error));
  const fixes = writeInstead(node.at, write);
  spot.report(valueRounded.at(node.at, { name: spot.name, asked, held: withUnit(write, type.unit), write }, { fixes }));
}

function codeChoice(type: EnumType, node: Node, spot: Spot): Coded | undefined {
  const name = nameOf(type.names).decode(node, spot);
  const found = type.names.find((entry) => entry.name === name);
  return found === undefined ? undefined : { kind: 'integer', value: found.code };
}

function codeFlags(type: FlagsType, node: Node, spot: Spot): Coded | undefined {
  const set = list(nameOf(type.names), 'a list of flag names', { distinct: true }).decode(node, spot);
  return set === undefined ? undefined : settle(type, { kind: 'flags', set, unnamed: 0n }, node, spot)?.coded;
}

type NamedNumber = { readonly name: string; readonly code: bigint } | { readonly name: string; readonly bit: number };

/** One of the contract's own names. Where its number stands instead, the name is told. */
function nameOf(named: readonly NamedNumber[]): Shape<string> {
  const any = text(400);
  const names = named.map(({ name }) => name);
  const byNumber = (node: Node): string | undefined => {
    const value = isNumber(node) ? parseRational(node.text) : undefined;
    const found = named.find(
      (entry) => value?.den === 1n && value.num === ('code' in entry ? entry.code : BigInt(entry.bit)),
    );
    return found?.name;
  };
  return shape({
    wanted: 'one of the names',
    fits: (node) => any.fits(node) && byNumber(node) === undefined,
    meant: byNumber,
    read(node, spot) {
      const word = any.decode(node, spot);
      if (word === undefined || names.includes(word)) return word;
      const like = spot.suggest(word, names);
      const fixes = writeText(node.at, like);
      spot.report(
        unknownWord.at(node.at, { name: spot.name, word: shortText(word), nearest: like, words: names }, { fixes }),
      );
      return undefined;
    },
    schema: () => ({ type: 'string' }),
  });
}

function codeStruct(type: StructType, node: Node, spot: Spot): Coded | undefined {
  if (node.kind === 'broken') return undefined;
  if (node.kind !== 'map') {
    spot.report(
      wrongKind.at(node.at, { name: spot.name, found: describe(node), wanted: 'a mapping from field to value' }),
    );
    return undefined;
  }
  const ids = new Set(type.fields.map(({ id }) => id));
  const given = new Map(node.entries.map(({ key, value }) => [key.text, value]));
  const left = [...ids].filter((id) => !given.has(id));
  let sound = true;
  for (const { key } of node.entries) {
    if (ids.has(key.text)) continue;
    const like = spot.suggest(key.text, left);
    spot.report(unknownKey.at(key.at, { key: shortText(key.text), record: 'this struct', nearest: like, keys: left }));
    sound = false;
  }
  const fields: Coded[] = [];
  for (const field of type.fields) {
    const value = given.get(field.id);
    if (value === undefined) {
      const at = node.entries[0]?.key.at ?? node.at;
      spot.report(missingKey.at(at, { key: field.id, record: `${spot.name}, a struct,`, example: '0' }));
      sound = false;
      continue;
    }
    const coded = codeNode(field.type, value, within(spot, `\`${field.id}\` of ${spot.name}`));
    if (coded === undefined) sound = false;
    else fields.push(coded);
  }
  return sound ? { kind: 'struct', fields } : undefined;
}
