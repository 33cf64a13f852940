import { fromHex } from '../base/bytes.ts';
import { nearest } from '../base/nearest.ts';
import { parseRational } from '../base/rational.ts';
import { unitByName, unitsBySymbol } from '../numbers/units.ts';
import { showChoices } from './check.ts';
import { floatSpecials } from './float-coding.ts';
import { toPhysical } from './physical.ts';
import { ok, quoted, refuse, refuseWithin, type Refused } from './refusal.ts';
import { showRange, withUnit } from './show-number.ts';
import { splitItems, unquote, unwrap } from './split-items.ts';
import type {
  ArrayType,
  BooleanType,
  EnumType,
  FlagsType,
  FloatType,
  IntegerType,
  Physical,
  Result,
  StructType,
  UnitCode,
  ValueType,
} from './type.ts';

/**
 * Reads what a person types for a value of this type, and what `showPhysical` writes:
 *
 * - a number: decimal (`0.5`, `-3`, `1e3`) or hex (`0x1F`), with the type's unit behind it or without: `0.5 Hz`; or the
 *   name of a special value: `unknown`, `NaN`, `-INFINITY`
 * - boolean: `true`, `on`, `1`; `false`, `off`, `0`
 * - a choice: its name, or its code
 * - flags: names with commas between, `none`, or the bits as a number; `bit 3` for one without a name
 * - a text: the line as it is; octets: hex digits
 * - a struct: every field once, as `gain=1`, `gain: 1` or `gain 1`, with commas between; a nested one in `( )`
 * - an array: `[1, 2, 3]`, or without the brackets when it is the whole
 *
 * In a struct or array, `"…"` (a JSON string) stands for any text, name or octets; it is needed for what is empty,
 * holds a comma, a bracket or a quote, or begins with `=` or `:`. Flags in a struct or array stand in `( )` when there are several. Case counts in
 * names only where two differ in nothing else; a name goes before a number that looks like it.
 *
 * Whether the value is allowed is not asked here, but by `toCoded`.
 *
 * @returns refusals with reason `type`, saying what may stand instead
 */
export function parsePhysical(type: ValueType, text: string): Result<Physical> {
  return type.kind === 'text' ? ok({ kind: 'text', value: text }) : parseWhole(type, text.trim());
}

/**
 * A number of the program (a rig's, a form's) as a value of a type that numbers can stand for. The double is read as
 * the shortest decimal that names it: 0.1 is one tenth. A boolean is true unless the number is 0; the code of a choice
 * and the bits of flags are rounded down to whole numbers, negative ones to 0.
 */
export function physicalFromDouble(
  type: BooleanType | IntegerType | FloatType | EnumType | FlagsType,
  x: number,
): Physical {
  switch (type.kind) {
    case 'boolean':
      return { kind: 'boolean', value: x !== 0 && !Number.isNaN(x) };
    case 'enum':
    case 'flags':
      return ofCode(type, x > 0 && Number.isFinite(x) ? BigInt(Math.floor(x)) : 0n);
    case 'integer':
    case 'float': {
      const value = parseRational(String(x));
      if (value !== undefined) return { kind: 'number', value };
      return { kind: 'special', name: Number.isNaN(x) ? 'NaN' : x > 0 ? '+INFINITY' : '-INFINITY' };
    }
  }
}

function parseWhole(type: ValueType, text: string): Result<Physical> {
  switch (type.kind) {
    case 'boolean':
      return parseBoolean(text);
    case 'integer':
      return parseNumber(
        type,
        type.special.map((entry) => entry.name),
        text,
      );
    case 'float':
      return parseNumber(type, floatSpecials(type.format), text);
    case 'enum':
      return parseChoice(type, text);
    case 'flags':
      return parseFlags(type, text);
    case 'text':
      return ok({ kind: 'text', value: text });
    case 'bytes': {
      const value = fromHex(text);
      return value === undefined
        ? refuse('type', `${quoted(text)} is no row of octets; allowed are pairs of hex digits`)
        : ok({ kind: 'bytes', value });
    }
    case 'struct':
      return parseStruct(type, text);
    case 'array':
      return parseArray(type, text);
  }
}

/** A value within a struct or array. */
function parsePart(type: ValueType, item: string): Result<Physical> {
  switch (type.kind) {
    case 'struct':
      return unwrap(item, '(') === undefined
        ? refuse('type', `${quoted(item)} is no nested struct; allowed is \`(id value, …)\``)
        : parseStruct(type, item);
    case 'array':
      return unwrap(item, '[') === undefined
        ? refuse('type', `${quoted(item)} is no nested array; allowed is \`[value, …]\``)
        : parseArray(type, item);
    case 'flags':
      return parseFlags(type, item);
    default: {
      const text = unquote(item);
      return text === undefined
        ? refuse('type', `${quoted(item)} is no text in quotes; allowed are the escapes of JSON`)
        : parseWhole(type, text);
    }
  }
}

function parseBoolean(text: string): Result<Physical> {
  const word = text.toLowerCase();
  if (['true', 'on', '1'].includes(word)) return ok({ kind: 'boolean', value: true });
  if (['false', 'off', '0'].includes(word)) return ok({ kind: 'boolean', value: false });
  return refuse('type', `${quoted(text)} is neither \`true\` (on, 1) nor \`false\` (off, 0)`);
}

const numberAndRest = /^([+-]?(?:0x[0-9a-f]+|(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?))\s*(.*)$/is;

function parseNumber(type: IntegerType | FloatType, specials: readonly string[], text: string): Result<Physical> {
  const special = byName(specials, text);
  if (special !== undefined) return ok({ kind: 'special', name: special });
  const [, digits = '', rest = ''] = numberAndRest.exec(text) ?? [];
  const value = parseRational(digits);
  if (value === undefined) return refuse('type', `${quoted(text)} is no number; ${allowedNumbers(type, specials)}`);
  if (rest === '' || isUnit(type.unit, rest)) return ok({ kind: 'number', value });
  if (/^,\d/.test(rest)) return refuse('type', `${quoted(text)} has a comma; the fraction stands behind a point`);
  const unit = withUnit('', type.unit).trim();
  return refuse(
    'type',
    `the unit ${quoted(rest)} is not the value's; allowed is ${unit === '' ? 'none' : `\`${unit}\``}`,
  );
}

function allowedNumbers(type: IntegerType | FloatType, specials: readonly string[]): string {
  const range = type.range === undefined ? 'any number' : showRange(type.range, type.unit);
  const names = type.kind === 'float' && type.range !== undefined ? [] : specials;
  return `allowed are ${[range, ...names].join(', ')}`;
}

function isUnit(unit: UnitCode, text: string): boolean {
  return unitsBySymbol(text).some((known) => known.code === unit) || unitByName(text)?.code === unit;
}

function parseChoice(type: EnumType, text: string): Result<Physical> {
  const name = byName(
    type.names.map((entry) => entry.name),
    text,
  );
  const named = type.names.find((entry) => entry.name === name);
  if (named !== undefined) return ok({ kind: 'choice', code: named.code, name: named.name });
  const code = parseCode(text);
  if (code !== undefined) return ok(ofCode(type, code));
  return refuse('type', `${quoted(text)} is no name${didYouMean(text, type.names)}; allowed are ${showChoices(type)}`);
}

/** A code of an enum, or bits of flags, with their names. */
function ofCode(type: EnumType | FlagsType, value: bigint): Physical {
  return toPhysical(type, { kind: 'integer', value });
}

function parseFlags(type: FlagsType, text: string): Result<Physical> {
  const names = type.names.map((entry) => entry.name);
  const outer = unwrap(text, '(');
  const whole = byName(names, text);
  if (whole !== undefined) return ok({ kind: 'flags', set: [whole], unnamed: 0n });
  const split = splitItems(outer?.rest === '' ? outer.inner : text);
  if (!split.ok) return refuse('type', split.why);
  const [first = 'none'] = split.items;
  if (split.items.length <= 1 && byName(names, first) === undefined) {
    const bits = first.toLowerCase() === 'none' ? 0n : parseCode(first);
    if (bits !== undefined) return ok(ofCode(type, bits));
  }
  let bits = 0n;
  for (const item of split.items) {
    const name = byName(names, unquote(item) ?? item);
    const bit = type.names.find((entry) => entry.name === name)?.bit ?? Number(/^bit (\d{1,2})$/i.exec(item)?.[1]);
    if (!(bit < type.bits)) {
      return refuse(
        'type',
        `${quoted(item)} is no flag${didYouMean(item, type.names)}; allowed are ${['none', ...names].join(', ')}`,
      );
    }
    bits |= 1n << BigInt(bit);
  }
  return ok(ofCode(type, bits));
}

function parseStruct(type: StructType, text: string): Result<Physical> {
  const outer = unwrap(text, '(');
  const split = splitItems(outer?.rest === '' ? outer.inner : text);
  if (!split.ok) return refuse('type', split.why);
  const found = new Map<string, Physical>();
  for (const item of split.items) {
    const field = type.fields.find(({ id }) => item.startsWith(id) && /^(?:$|[=:\s])/.test(item.slice(id.length)));
    if (field === undefined) return unknownField(type, item);
    if (found.has(field.id)) return refuse('type', `field \`${field.id}\` is given twice`);
    const part = parsePart(field.type, item.slice(field.id.length).replace(/^\s*[=:]?\s*/, ''));
    if (!part.ok) return refuseWithin(field.id, part);
    found.set(field.id, part.value);
  }
  const fields: { id: string; value: Physical }[] = [];
  for (const { id } of type.fields) {
    const value = found.get(id);
    if (value === undefined) return refuse('type', `field \`${id}\` is missing; allowed is ${fieldList(type)}`);
    fields.push({ id, value });
  }
  return ok({ kind: 'record', fields });
}

function unknownField(type: StructType, item: string): Refused {
  const word = /^[^=:\s]*/.exec(item)?.[0] ?? '';
  const names = type.fields.map(({ id }) => ({ name: id }));
  return refuse('type', `${quoted(word)} is no field${didYouMean(word, names)}; allowed is ${fieldList(type)}`);
}

function fieldList(type: StructType): string {
  return `\`${type.fields.map(({ id }) => `${id} …`).join(', ')}\``;
}

function parseArray(type: ArrayType, text: string): Result<Physical> {
  const outer = unwrap(text, '[');
  if (outer !== undefined && outer.rest !== '' && !isUnitOfItems(type.element, outer.rest)) {
    return refuse('type', `${quoted(outer.rest)} stands behind the array`);
  }
  const split = splitItems(outer?.inner ?? text);
  if (!split.ok) return refuse('type', split.why);
  const items: Physical[] = [];
  for (const item of split.items) {
    const part = parsePart(type.element, item);
    if (!part.ok) return refuseWithin(`[${items.length}]`, part);
    items.push(part.value);
  }
  return ok({ kind: 'list', items });
}

function isUnitOfItems(type: ValueType, text: string): boolean {
  return (type.kind === 'integer' || type.kind === 'float') && isUnit(type.unit, text);
}

/** The name as it is, else the only one that differs from it in case alone. */
function byName(names: readonly string[], text: string): string | undefined {
  if (names.includes(text)) return text;
  const alike = names.filter((name) => name.toLowerCase() === text.toLowerCase());
  return alike.length === 1 ? alike[0] : undefined;
}

/** A whole number from 0, decimal or hex. */
function parseCode(text: string): bigint | undefined {
  return /^(?:\d{1,40}|0x[0-9a-f]{1,32})$/i.test(text) ? BigInt(text) : undefined;
}

function didYouMean(word: string, entries: readonly { readonly name: string }[]): string {
  const near = nearest(
    word,
    entries.map((entry) => entry.name),
  );
  return near === undefined ? '' : `; the nearest is \`${near}\``;
}
