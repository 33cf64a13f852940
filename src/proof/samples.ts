import { bug } from '../base/bug.ts';
import { concat, equalBytes, noBytes, reversed, type Bytes } from '../base/bytes.ts';
import { decode, encode } from '../values/codec.ts';
import { codedRange } from '../values/physical.ts';
import { defaultBytes } from '../values/start.ts';
import { encodeUtf8 } from '../values/utf8.ts';
import type {
  ArrayType,
  Coded,
  EnumType,
  FlagsType,
  IntegerType,
  StructType,
  TextType,
  ValueType,
} from '../values/type.ts';
import { floatSamples } from './float-samples.ts';
import type { Sample } from './sample.ts';
import { slug } from './words.ts';

/**
 * Values that the contract allows, chosen where boards go wrong: both ends, the codes just inside them, the middle, each
 * name, each bit, the shortest and the longest. No two alike; never empty.
 */
export function allowedSamples(type: ValueType): readonly Sample[] {
  return distinct(candidates(type));
}

/** An allowed value unlike `bytes`, of at most `longest` octets; `undefined` where there is none. */
export function otherThan(type: ValueType, bytes: Bytes, longest = Infinity): Bytes | undefined {
  return allowedSamples(type).find((sample) => sample.bytes.length <= longest && !equalBytes(sample.bytes, bytes))
    ?.bytes;
}

/**
 * `count` allowed values of at most `longest` octets, each unlike the one before: what a case steps through when a value
 * has to change. Octets that read the same backwards are left out where possible, so that a swapped byte order shows.
 * `undefined` for a type with only one such value.
 */
export function steps(type: ValueType, count: number, longest = Infinity): readonly Bytes[] | undefined {
  const all = allowedSamples(type).flatMap(({ bytes }) => (bytes.length <= longest ? [bytes] : []));
  const skewed = all.filter((bytes) => !equalBytes(bytes, reversed(bytes)));
  const order = skewed.length > 1 ? skewed : all;
  if (order.length < 2) return undefined;
  return Array.from({ length: count }, (_, i) => order[i % order.length] ?? noBytes);
}

/** The longest value the type allows, its octets all over the code points that a text can hold. */
export function longestOf(type: ValueType): Bytes {
  return allowedSamples(type).reduce(
    (best, { bytes }) => (bytes.length > best.length ? bytes : best),
    defaultBytes(type),
  );
}

export function distinct(samples: readonly Sample[]): readonly Sample[] {
  return samples.filter((sample, i) => samples.findIndex((other) => equalBytes(other.bytes, sample.bytes)) === i);
}

function candidates(type: ValueType): readonly Sample[] {
  switch (type.kind) {
    case 'boolean':
      return [
        { name: 'false', bytes: Uint8Array.of(0) },
        { name: 'true', bytes: Uint8Array.of(1) },
      ];
    case 'integer':
      return integerSamples(type);
    case 'float':
      return floatSamples(type);
    case 'text':
      return textSamples(type);
    case 'bytes':
      return [
        { name: 'shortest', bytes: pattern(type.minLength) },
        { name: 'longest', bytes: pattern(type.maxLength) },
        { name: 'zeros', bytes: new Uint8Array(type.maxLength) },
        { name: 'ones', bytes: new Uint8Array(type.maxLength).fill(0xff) },
      ];
    case 'enum':
      return choices(type);
    case 'flags':
      return flagSamples(type);
    case 'struct':
      return structSamples(type);
    case 'array':
      return arraySamples(type);
  }
}

function integerSamples(type: IntegerType): readonly Sample[] {
  const { min, max } = codedRange(type);
  const codes: readonly (readonly [name: string, code: bigint])[] = [
    ['min', min],
    ['max', max],
    ['mid', min + (max - min) / 2n],
    ['above-min', min + 1n],
    ['below-max', max - 1n],
    ['zero', 0n],
  ];
  const plain = codes.filter(([, code]) => code >= min && code <= max);
  return [...plain, ...type.special.map(({ code, name }) => [`special-${slug(name)}`, code] as const)].map(
    ([name, code]) => ({ name, bytes: mustEncode(type, { kind: 'integer', value: code }) }),
  );
}

function textSamples(type: TextType): readonly Sample[] {
  const { minLength, maxLength } = type;
  const samples: Sample[] = [
    { name: 'shortest', bytes: letters(type, minLength) },
    { name: 'longest', bytes: letters(type, maxLength) },
    { name: 'multi-byte', bytes: foreign(type, maxLength) },
  ];
  const between = Math.max(minLength, Math.min(maxLength, minLength + 3));
  // A zero in the middle ends the text of a board that keeps it as a C string.
  if (type.encoding === 'utf8' && between >= 3) {
    samples.push({ name: 'inner-nul', bytes: concat([0x61, 0], letters(type, between - 2)) });
  }
  return samples.filter(({ bytes }) => bytes.length >= minLength && bytes.length <= maxLength);
}

/** `length` octets of letters, all in order, so that a part in the wrong place shows. UTF-16: an even number of them. */
export function letters(type: TextType, length: number): Bytes {
  const width = type.encoding === 'utf16' ? 2 : 1;
  const bytes = new Uint8Array(width * Math.floor(length / width));
  for (let i = 0; i < bytes.length; i += width) bytes[i] = 0x61 + ((i / width) % 26);
  return bytes;
}

/** Two, three and four octets a code point (é, ≈, 🌊) as often as they fit, the rest letters. */
function foreign(type: TextType, length: number): Bytes {
  const parts = type.encoding === 'utf8' ? ['é', '≈', '🌊'].map(encodeUtf8) : utf16Parts;
  const out: Bytes[] = [];
  let used = 0;
  for (let i = 0; ; i++) {
    const part = parts[i % parts.length] ?? parts[0];
    if (part === undefined || used + part.length > length) break;
    out.push(part);
    used += part.length;
  }
  return concat(...out, letters(type, length - used));
}

/** U+00E9, U+2248, U+1F30A in UTF-16, least significant octet first: RFC 2781 section 2.1. */
const utf16Parts: readonly Bytes[] = [
  Uint8Array.of(0xe9, 0x00),
  Uint8Array.of(0x48, 0x22),
  Uint8Array.of(0x3c, 0xd8, 0x0a, 0xdf),
];

/** 0, 255, 1, 254, 2, …: no two neighbours alike, zeros and ones among them. */
export function pattern(length: number): Bytes {
  return Uint8Array.from({ length }, (_, i) => (i % 2 === 0 ? i / 2 : 255 - (i - 1) / 2));
}

function choices(type: EnumType): readonly Sample[] {
  return type.names.map(({ code }) => ({
    name: `choice-${code.toString()}`,
    bytes: mustEncode(type, { kind: 'integer', value: code }),
  }));
}

function flagSamples(type: FlagsType): readonly Sample[] {
  const flag = (name: string, value: bigint): Sample => ({
    name,
    bytes: mustEncode(type, { kind: 'integer', value }),
  });
  const all = type.names.reduce((sum, { bit }) => sum | (1n << BigInt(bit)), 0n);
  return [
    flag('no-flags', 0n),
    ...type.names.map(({ bit }) => flag(`bit-${bit}`, 1n << BigInt(bit))),
    flag('all-flags', all),
  ];
}

/** Each field's samples in turn, the other fields held at a plain value; and all fields at an end together. */
function structSamples(type: StructType): readonly Sample[] {
  const choicesOf = type.fields.map((field) => codedSamples(field.type));
  const base = choicesOf.map((list) => list[Math.min(2, list.length - 1)]?.coded);
  const make = (name: string, fields: readonly (Coded | undefined)[]): readonly Sample[] => {
    const whole = fields.filter((coded) => coded !== undefined);
    if (whole.length < fields.length) return [];
    return [{ name, bytes: mustEncode(type, { kind: 'struct', fields: whole }) }];
  };
  return [
    ...make(
      'all-first',
      choicesOf.map((list) => list[0]?.coded),
    ),
    ...make(
      'all-second',
      choicesOf.map((list) => (list[1] ?? list[0])?.coded),
    ),
    ...type.fields.flatMap((field, i) =>
      (choicesOf[i] ?? []).flatMap(({ name, coded }) =>
        make(
          `${field.id}-${name}`,
          base.map((other, j) => (j === i ? coded : other)),
        ),
      ),
    ),
  ];
}

/** The fewest and the most items; all items at one end, at the other, and each unlike its neighbour. */
function arraySamples(type: ArrayType): readonly Sample[] {
  const items = codedSamples(type.element);
  const make = (name: string, count: number, pick: (i: number) => Coded | undefined): readonly Sample[] => {
    const picked = Array.from({ length: count }, (_, i) => pick(i)).filter((coded) => coded !== undefined);
    if (picked.length < count) return [];
    return [{ name, bytes: mustEncode(type, { kind: 'array', items: picked }) }];
  };
  const mixed = (i: number): Coded | undefined => items[i % items.length]?.coded;
  return [
    ...make('fewest', type.minCount, mixed),
    ...make('most', type.maxCount, mixed),
    ...make('all-first', type.maxCount, () => items[0]?.coded),
    ...make('all-second', type.maxCount, () => (items[1] ?? items[0])?.coded),
  ];
}

function codedSamples(type: ValueType): readonly { readonly name: string; readonly coded: Coded }[] {
  return distinct(candidates(type)).flatMap(({ name, bytes }) => {
    const coded = decode(type, bytes);
    return coded.ok ? [{ name, coded: coded.value }] : [];
  });
}

function mustEncode(type: ValueType, coded: Coded): Bytes {
  const result = encode(type, coded);
  bug(result.ok, `a sample of ${type.kind} cannot be encoded`);
  return result.value;
}
