import { compare, multiply, parseRational, powerOf, showRational, type Rational } from '../../base/rational.ts';
import type { FloatFormat, PhysicalRange, Scale, SignedBits, UnitCode, UnsignedBits } from '../../values/type.ts';
import type { Where } from '../model.ts';
import { bounds, byKey, looseList, namedCodes, type NamedCode } from '../shapes/composite.ts';
import { outOfBounds } from '../shapes/findings.ts';
import { unit } from '../shapes/names.ts';
import { byDefault, optional, record, required, whole, type Draft, type RecordShape } from '../shapes/record.ts';
import { decimal, id, isNumber, isText, line, positive, whole as wholeNumber, word } from '../shapes/scalars.ts';
import { either, guessing, lazy, map, type AnyRecord, type Field, type Shape } from '../shapes/shape.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Node } from '../tree.ts';

/** The longest attribute value, octets. Core Vol 3 Part F 3.2.9. */
export const longestValue = 512;

export const integerWords = [
  'uint2',
  'uint4',
  'uint8',
  'uint12',
  'uint16',
  'uint24',
  'uint32',
  'uint40',
  'uint48',
  'uint64',
  'uint128',
  'sint8',
  'sint12',
  'sint16',
  'sint24',
  'sint32',
  'sint40',
  'sint48',
  'sint64',
  'sint128',
] as const;

const typeWords = [
  'boolean',
  ...integerWords,
  'float32',
  'float64',
  'medfloat16',
  'medfloat32',
  'utf8',
  'utf16',
  'bytes',
] as const;

/** What other languages and tables call a type of ours, and what a type that takes more than a word looks like. */
const typesElsewhere: Readonly<Record<string, string>> = {
  bool: 'boolean',
  byte: 'uint8',
  char: 'uint8',
  double: 'float64',
  float: 'float32',
  sfloat: 'medfloat16',
  str: 'utf8',
  string: 'utf8',
  text: 'utf8',
  blob: 'bytes',
  array: '{ array: uint8, count: 4 }',
  enum: '{ enum: uint8, names: { 0: off, 1: on } }',
  flags: '{ flags: uint8, names: { 0: fault } }',
  struct: '{ struct: [{ id: first, type: uint8 }] }',
};

function typeElsewhere(text: string): string | undefined {
  const word = text.toLowerCase().replace(/_t$/, '');
  const number = /^([iusf])(?:nt|int|loat)?_?(\d+)$/.exec(word);
  const name = { i: 'sint', s: 'sint', u: 'uint', f: 'float' }[number?.[1] ?? ''];
  const made = name === undefined ? undefined : `${name}${number?.[2] ?? ''}`;
  return Object.hasOwn(typesElsewhere, word) ? typesElsewhere[word] : typeWords.find((type) => type === made);
}

const anyTypeWord = word(typeWords, 'a type');

const typeWord: Shape<TypeWord> = {
  ...anyTypeWord,
  decode(node, spot) {
    if (!isText(node) || typeWords.some((type) => type === node.text)) return anyTypeWord.decode(node, spot);
    return anyTypeWord.decode(node, {
      ...spot,
      suggest: (text, words) => typeElsewhere(text) ?? spot.suggest(text, words),
    });
  },
};

export type IntegerWord = (typeof integerWords)[number];
export type TypeWord = (typeof typeWords)[number];

export function isIntegerWord(word: TypeWord): word is IntegerWord {
  return (integerWords as readonly string[]).includes(word);
}

/** `sint16`: signed, 16 bits. */
export function integerFormat(word: IntegerWord): {
  readonly signed: boolean;
  readonly bits: UnsignedBits | SignedBits;
} {
  // The words above are exactly the widths of the value model.
  return { signed: word.startsWith('s'), bits: Number(word.slice(4)) as UnsignedBits | SignedBits };
}

export function isFloatWord(word: TypeWord): word is FloatFormat {
  return word.includes('float');
}

/** What stands under `type`, before the keys beside it are known. */
export type TypeExpression =
  | { readonly kind: 'word'; readonly word: TypeWord; readonly at: SourceRange }
  | {
      readonly kind: 'enum';
      readonly base: (typeof enumBases)[number];
      readonly names: readonly NamedCode[];
      readonly at: SourceRange;
    }
  | {
      readonly kind: 'flags';
      readonly base: (typeof flagBases)[number];
      readonly names: readonly NamedCode[];
      readonly at: SourceRange;
    }
  | {
      readonly kind: 'struct';
      readonly fields: readonly FieldDraft[];
      readonly sound: boolean;
      readonly at: SourceRange;
    }
  | {
      readonly kind: 'array';
      readonly element: TypeExpression;
      readonly minCount: number;
      readonly maxCount: number;
      readonly at: SourceRange;
    };

const name = line(100);

const enumBases = ['uint8', 'uint16', 'uint32'] as const;
const flagBases = ['uint8', 'uint16', 'uint24', 'uint32'] as const;

const enumRecord = record(
  { id: 'enum', called: 'an enumeration', intro: 'One of a few named codes. Codes without a name are refused.' },
  {
    enum: required(word(enumBases, 'the width of the codes'), 'Width of the codes.', 'uint8'),
    names: required(
      namedCodes(name, 'a mapping from codes to names'),
      'Name of each code. The first is the value at power-up unless `start` says otherwise.',
      '{ 0: none, 1: fluorescein }',
    ),
  },
);

const flagsRecord = record(
  { id: 'flags', called: 'a set of flags', intro: 'Named bits, each set or not. Bits without a name must be 0.' },
  {
    flags: required(word(flagBases, 'the width of the flags'), 'Width of all flags together.', 'uint8'),
    names: required(
      namedCodes(name, 'a mapping from bit numbers to names'),
      'Name of each bit; bit 0 is the least significant.',
      '{ 0: heating, 1: fault }',
    ),
  },
);

const structRecord = record(
  {
    id: 'struct',
    called: 'a struct',
    intro:
      'Fields one behind the other, without padding. Fields of 2, 4 and 12 bits share octets, the first in the least significant bits; every other field starts on an octet. Only the last field may vary in length.',
  },
  {
    struct: required(
      lazy('a list of fields', () => looseList(fieldRecord, 'a list of fields', { min: 1 })),
      'The fields, first octet first.',
      '[{ id: gain, type: uint16 }]',
    ),
  },
);

const count: Shape<{ min: number; max: number }> = either(
  map(wholeNumber(1, longestValue), (n) => ({ min: n, max: n })),
  bounds(wholeNumber(0, longestValue), (a, b) => a - b, String, 'a pair [MIN, MAX]'),
);

const arrayRecord = record(
  {
    id: 'array',
    called: 'an array',
    intro:
      'Elements of one type, one behind the other. `scale`, `unit`, `range`, `step`, `length` and `special` beside the type hold for each element.',
  },
  {
    array: required(
      lazy('a type', () => typeExpression),
      'Type of the elements; of a fixed length in whole octets.',
      'sint16',
    ),
    count: required(count, 'How many elements: a number, or `[MIN, MAX]`.', '8'),
  },
);

/** What stands under `type`. */
export const typeExpression: Shape<TypeExpression> = either(
  map(typeWord, (found, node): TypeExpression => ({ kind: 'word', word: found, at: node.at })),
  byKey<TypeExpression>(
    {
      enum: map(whole(enumRecord), (found, node) => ({
        kind: 'enum',
        base: found.enum,
        names: found.names,
        at: node.at,
      })),
      flags: map(whole(flagsRecord), (found, node) => ({
        kind: 'flags',
        base: found.flags,
        names: found.names,
        at: node.at,
      })),
      struct: map(structRecord, (draft, node) => {
        const fields = draft.values.struct;
        return fields === undefined
          ? undefined
          : { kind: 'struct', fields, sound: draft.whole !== undefined, at: node.at };
      }),
      array: map(whole(arrayRecord), (found, node) => ({
        kind: 'array',
        element: found.array,
        minCount: found.count.min,
        maxCount: found.count.max,
        at: node.at,
      })),
    },
    'a mapping that says a type',
  ),
);

const scaleRecord = record(
  { id: 'scale', called: 'a scale', intro: 'physical = coded × multiplier × 10^decimal × 2^binary.' },
  {
    multiplier: byDefault(scaleMultiplier(), 1, '1', 'A whole number from -10 to 10, not 0.', '5'),
    decimal: byDefault(wholeNumber(-128, 127), 0, '0', 'Power of ten.', '-2'),
    binary: byDefault(wholeNumber(-128, 127), 0, '0', 'Power of two.', '-6'),
  },
);

/** A factor such as 0.001 or 5, as a scale would say it. */
function scaleOfFactor(node: Node): string | undefined {
  const factor = isNumber(node) ? parseRational(node.text) : undefined;
  if (factor === undefined || factor.num === 0n) return undefined;
  for (let decimal = 12; decimal >= -12; decimal--) {
    const m = multiply(factor, powerOf(10n, -decimal));
    if (m.den !== 1n || m.num < -10n || m.num > 10n) continue;
    const keys = [...(m.num === 1n ? [] : [`multiplier: ${m.num}`]), `decimal: ${decimal}`];
    return `{ ${keys.join(', ')} }`;
  }
  return undefined;
}

function scaleMultiplier(): Shape<number> {
  return map(wholeNumber(-10, 10), (value, node, spot) => {
    if (value !== 0) return value;
    spot.report(outOfBounds.at(node.at, { name: spot.name, found: '0', min: '1', max: '10, or -10 to -1,' }));
    return undefined;
  });
}

const range: Shape<PhysicalRange> = bounds(decimal, compare, showRational, 'a pair [MIN, MAX]');

export type Length = { readonly min: number; readonly max: number };

const length: Shape<Length> = either(
  map(wholeNumber(0, longestValue), (n): Length => ({ min: n, max: n })),
  bounds(wholeNumber(0, longestValue), (a, b) => a - b, String, 'a pair [MIN, MAX]'),
);

/** The keys that say a value's shape. */
export type ValueKeys = {
  readonly type: TypeExpression | undefined;
  readonly scale: Scale | undefined;
  readonly unit: UnitCode | undefined;
  readonly range: PhysicalRange | undefined;
  readonly step: Rational | undefined;
  readonly length: Length | undefined;
  readonly special: readonly NamedCode[] | undefined;
};

type ValueFields = { readonly [K in keyof ValueKeys]: Field<ValueKeys[K]> };

/** The keys that say a value's shape, in a characteristic and in a struct's field. All may be left out here. */
export const valueFields: ValueFields = {
  type: optional(typeExpression, 'the type of the adopted characteristic', 'Type of the value.', 'uint16'),
  scale: optional(
    guessing(
      map(whole(scaleRecord), ({ multiplier, decimal, binary }): Scale => ({ multiplier, decimal, binary })),
      scaleOfFactor,
    ),
    'physical = coded',
    'How the coded integer becomes the physical value.',
    '{ decimal: -2 }',
  ),
  unit: optional(unit, 'unitless', 'Unit of the physical value: its assigned name in words, or its number.', 'hertz'),
  range: optional(
    range,
    'all that the type can hold',
    'Allowed values, in the unit, both bounds included. Others are refused.',
    '[0, 4]',
  ),
  step: optional(positive, 'no demand', 'The resolution that is needed, in the unit.', '0.01'),
  length: optional(length, 'required for texts and octets', 'Length in octets: a number, or `[MIN, MAX]`.', '[0, 60]'),
  special: optional(
    namedCodes(name, 'a mapping from codes to names'),
    'none',
    'Codes that stand for no quantity. They are allowed besides the range; a hex code is a bit pattern.',
    '{ 0x8000: unknown }',
  ),
};

/** What a contract says about a value's shape, and where. */
export type ValueDraft = { readonly values: ValueKeys; readonly where: Where };

type FieldFields = ValueFields & { readonly id: Field<string>; readonly label: Field<string | undefined> };

export type FieldDraft = Draft<FieldFields>;

const fieldRecord: RecordShape<FieldFields> & AnyRecord = record(
  { id: 'field', called: 'a field', intro: 'One field of a struct.' },
  {
    id: required(id, 'Name within the struct.', 'gain'),
    label: optional(line(100), 'the id as words', 'What a person reads.', 'Gain'),
    ...valueFields,
    type: required(typeExpression, 'Type of the field.', 'sint16'),
  },
);
