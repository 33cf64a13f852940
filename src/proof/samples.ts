import { bug } from '../base/bug.ts';
import { bigFromLe, bigToLe, concat, equalBytes, noBytes, reversed, type Bytes } from '../base/bytes.ts';
import { compare, toDouble, type Rational } from '../base/rational.ts';
import { floatRange } from '../values/check.ts';
import { decode, encode } from '../values/codec.ts';
import { decodeMedfloat, encodeMedfloat } from '../values/medfloat.ts';
import { codedRange, toCoded, toPhysical } from '../values/physical.ts';
import { defaultBytes } from '../values/start.ts';
import { encodeUtf8 } from '../values/utf8.ts';
import type {
  ArrayType,
  Coded,
  EnumType,
  FlagsType,
  FloatType,
  IntegerType,
  StructType,
  TextType,
  ValueType,
} from '../values/type.ts';
import { slug } from './words.ts';

/** Octets that the contract allows (or, in `refused-samples.ts`, forbids), and the name of what is special about them. */
export type Sample = {
  /** Part of a case id: `max`, `choice-2`, `gain-min`. */
  readonly name: string;
  readonly bytes: Bytes;
};

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

function floatSamples(type: FloatType): readonly Sample[] {
  const { range } = type;
  const named = (name: string, code: bigint): Sample => ({ name, bytes: floatBytes(type, code) });
  if (range === undefined) {
    return [
      ...floatEdges[type.format].map(([name, code]) => named(name, code)),
      ...floatSpecials[type.format].map(([name, code]) => named(name, code)),
    ];
  }
  return [
    named('min', nearestCode(type, range.min)),
    named('max', nearestCode(type, range.max)),
    named('mid', nearestCode(type, middle(range.min, range.max))),
  ].filter((sample) => floatInRange(type, sample.bytes));
}

/**
 * Codes of numbers at the ends of each format: 1, its negative, the largest and the smallest magnitude. IEEE 754-2019
 * section 3.4; IEEE 11073-20601 Annex F.
 */
const floatEdges: Readonly<Record<FloatType['format'], readonly (readonly [string, bigint])[]>> = {
  float32: [
    ['zero', 0n],
    ['one', 0x3f80_0000n],
    ['minus-one', 0xbf80_0000n],
    ['largest', 0x7f7f_ffffn],
    ['smallest', 0x0000_0001n],
  ],
  float64: [
    ['zero', 0n],
    ['one', 0x3ff0_0000_0000_0000n],
    ['minus-one', 0xbff0_0000_0000_0000n],
    ['largest', 0x7fef_ffff_ffff_ffffn],
    ['smallest', 1n],
  ],
  medfloat16: [
    ['zero', 0n],
    ['one', 0x0001n],
    ['minus-one', 0x0fffn],
    ['largest', 0x77fdn],
    ['smallest', 0x8001n],
    ['two-point-zero', 0xf014n],
  ],
  medfloat32: [
    ['zero', 0n],
    ['one', 0x0000_0001n],
    ['minus-one', 0x00ff_ffffn],
    ['largest', 0x7f7f_fffdn],
    ['smallest', 0x8000_0001n],
    ['two-point-zero', 0xff00_0014n],
  ],
};

/** Codes that are no numbers. The same sources. */
export const floatSpecials: Readonly<Record<FloatType['format'], readonly (readonly [string, bigint])[]>> = {
  float32: [
    ['not-a-number', 0x7fc0_0000n],
    ['plus-infinity', 0x7f80_0000n],
    ['minus-infinity', 0xff80_0000n],
  ],
  float64: [
    ['not-a-number', 0x7ff8_0000_0000_0000n],
    ['plus-infinity', 0x7ff0_0000_0000_0000n],
    ['minus-infinity', 0xfff0_0000_0000_0000n],
  ],
  medfloat16: [
    ['not-a-number', 0x07ffn],
    ['plus-infinity', 0x07fen],
    ['minus-infinity', 0x0802n],
  ],
  medfloat32: [
    ['not-a-number', 0x007f_ffffn],
    ['plus-infinity', 0x007f_fffen],
    ['minus-infinity', 0x0080_0002n],
  ],
};

/** The code, least significant octet first. */
export function floatBytes(type: FloatType, code: bigint): Bytes {
  return bigToLe(code, { float32: 4, float64: 8, medfloat16: 2, medfloat32: 4 }[type.format]);
}

/** True when the octets are a number within the range; compared exactly. */
export function floatInRange(type: FloatType, bytes: Bytes): boolean {
  const value = floatNumber(type, bytes);
  if (value === undefined) return false;
  const range = floatRange(type);
  return range === undefined || (compare(value, range.min) >= 0 && compare(value, range.max) <= 0);
}

/** The next larger (`direction` 1) or smaller (-1) number of the format; `undefined` at its end. */
export function nextFloat(type: FloatType, bytes: Bytes, direction: 1 | -1): Bytes | undefined {
  const code = bigFromLe(bytes);
  if (type.format === 'medfloat16' || type.format === 'medfloat32') {
    const number = decodeMedfloat(type.format, Number(code));
    if (number?.kind !== 'number') return undefined;
    const next = encodeMedfloat(type.format, { ...number, mantissa: number.mantissa + direction });
    return next === undefined ? undefined : floatBytes(type, BigInt(next));
  }
  // IEEE codes of one sign are in the order of their numbers; those of negative numbers in the opposite one.
  const sign = 1n << BigInt(8 * bytes.length - 1);
  const magnitude = code & (sign - 1n);
  const signed = (code & sign) === 0n ? magnitude : -magnitude;
  const next = signed + BigInt(direction);
  const stepped = floatBytes(type, next < 0n ? sign | -next : next);
  return floatNumber(type, stepped) === undefined ? undefined : stepped;
}

function floatNumber(type: FloatType, bytes: Bytes): Rational | undefined {
  const coded = decode(type, bytes);
  if (!coded.ok) return undefined;
  const physical = toPhysical(type, coded.value);
  return physical.kind === 'number' ? physical.value : undefined;
}

function nearestCode(type: FloatType, value: Rational): bigint {
  const coded = toCoded(type, { kind: 'number', value });
  if (!coded.ok) return 0n;
  return bigFromLe(mustEncode(type, coded.value.coded));
}

/** Near enough to the middle; exact where the ends are small integers. */
function middle(min: Rational, max: Rational): Rational {
  const whole = BigInt(Math.trunc((toDouble(min) + toDouble(max)) / 2));
  const rounded = { num: whole, den: 1n };
  if (compare(rounded, min) >= 0 && compare(rounded, max) <= 0) return rounded;
  return { num: min.num * max.den + max.num * min.den, den: 2n * min.den * max.den };
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
