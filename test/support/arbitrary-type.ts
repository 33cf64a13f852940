import fc from 'fast-check';
import { add, multiply, rational, subtract, type Rational } from '../../src/base/rational.ts';
import { isFixedLength, lengthRange } from '../../src/values/codec.ts';
import { codeFloat, floatSpecials } from '../../src/values/float-coding.ts';
import { medfloatLayouts } from '../../src/values/medfloat.ts';
import { codedRange, fullPhysicalRange, fullRange } from '../../src/values/scale.ts';
import type {
  ArrayType,
  Coded,
  EnumType,
  FlagsType,
  FloatFormat,
  FloatType,
  IntegerType,
  Medfloat,
  Scale,
  SignedBits,
  StructType,
  TextType,
  UnsignedBits,
  ValueType,
} from '../../src/values/type.ts';
import { encodeUtf8 } from '../../src/values/utf8.ts';

/**
 * Types and values for property tests: every type that a contract can say, and for each type the coded values that it
 * can hold or that the contract allows.
 */

const unsignedBits: readonly UnsignedBits[] = [2, 4, 8, 12, 16, 24, 32, 40, 48, 64, 128];
const signedBits: readonly SignedBits[] = [8, 12, 16, 24, 32, 40, 48, 64, 128];
const floatFormats: readonly FloatFormat[] = ['float32', 'float64', 'medfloat16', 'medfloat32'];
/** Unitless, hertz, degree Celsius, percentage, metre, metre per second squared. */
const someUnits = fc.constantFrom(0x2700, 0x2722, 0x272f, 0x27ad, 0x2701, 0x2713);

/**
 * One code point of any length in UTF-8 and UTF-16, for `fc.string({ unit: arbitraryCharacter })`. The library's own
 * `binary` and `grapheme` take seconds to prepare their tables.
 */
export const arbitraryCharacter: fc.Arbitrary<string> = fc
  .oneof(
    { arbitrary: fc.integer({ min: 0x20, max: 0x7e }), weight: 4 },
    fc.integer({ min: 0, max: 0x7ff }),
    fc.integer({ min: 0x800, max: 0xd7ff }),
    fc.integer({ min: 0xe000, max: 0xffff }),
    fc.integer({ min: 0x10000, max: 0x10ffff }),
    fc.constantFrom(0x7f, 0x80, 0x7ff, 0x800, 0xd7ff, 0xe000, 0xfeff, 0xffff, 0x10000, 0x10ffff),
  )
  .map((code) => String.fromCodePoint(code));

/** Exact fractions, small and large. */
export const arbitraryRational: fc.Arbitrary<Rational> = fc
  .tuple(fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n }), fc.bigInt({ min: 1n, max: 10n ** 12n }))
  .map(([num, den]) => rational(num, den));

const arbitraryScale: fc.Arbitrary<Scale> = fc.oneof(
  fc.constant({ multiplier: 1, decimal: 0, binary: 0 }),
  fc.record({
    multiplier: fc.integer({ min: -10, max: 10 }).filter((multiplier) => multiplier !== 0),
    decimal: fc.integer({ min: -12, max: 12 }),
    binary: fc.integer({ min: -64, max: 64 }),
  }),
);

/** Names of choices and flags: plain ones, and ones that need quotes in a list. */
const arbitraryName = fc
  .oneof(
    fc.constantFrom(
      'none',
      'fluorescein',
      'rhodamine',
      'on',
      'off',
      'over-range',
      'a, b',
      '(x)',
      '[0]',
      '"q"',
      ':',
      '=x',
      'Ωmega',
    ),
    fc.string({ minLength: 1, maxLength: 6, unit: arbitraryCharacter }),
  )
  // A contract's names have no blanks around them, and one that reads as a number is ambiguous by nature.
  .filter((name) => name === name.trim() && name !== '' && !/^(\d+|0x[0-9a-f]+|bit \d+|\d.*)$/i.test(name));

function distinct<T>(arbitrary: fc.Arbitrary<T>, key: (item: T) => string, max: number): fc.Arbitrary<T[]> {
  return fc.uniqueArray(arbitrary, { selector: key, minLength: 1, maxLength: max });
}

export const arbitraryInteger: fc.Arbitrary<IntegerType> = fc
  .record({
    width: fc.oneof(
      fc.constantFrom(...unsignedBits).map((bits) => ({ bits, signed: false })),
      fc.constantFrom(...signedBits).map((bits) => ({ bits, signed: true })),
    ),
    scale: arbitraryScale,
    unit: someUnits,
    ends: fc.option(fc.tuple(fc.nat(1000), fc.nat(1000))),
    specials: fc.option(fc.tuple(fc.constantFrom('least', 'greatest'), fc.constantFrom('unknown', 'over-range'))),
  })
  .map(({ width, scale, unit, ends, specials }): IntegerType => {
    const full = fullPhysicalRange(width.bits, width.signed, scale);
    const codes = fullRange(width.bits, width.signed);
    // Two places on the way from one end to the other; they lie between codes as a rule.
    const at = (part: number): Rational => add(full.min, multiply(subtract(full.max, full.min), rational(part, 1000)));
    const [low, high] = ends === null ? [0, 1000] : [Math.min(...ends), Math.max(...ends)];
    return {
      kind: 'integer',
      ...width,
      scale,
      unit,
      range: { min: at(low), max: at(high) },
      bounded: ends !== null,
      step: undefined,
      special: specials === null ? [] : [{ code: specials[0] === 'least' ? codes.min : codes.max, name: specials[1] }],
    };
  });

export const arbitraryFloat: fc.Arbitrary<FloatType> = fc
  .record({
    format: fc.constantFrom(...floatFormats),
    unit: someUnits,
    ends: fc.option(fc.tuple(fc.integer({ min: -20_000, max: 20_000 }), fc.integer({ min: -20_000, max: 20_000 }))),
  })
  .map(({ format, unit, ends }) => ({
    kind: 'float',
    format,
    unit,
    range: ends === null ? undefined : { min: rational(Math.min(...ends), 10), max: rational(Math.max(...ends), 10) },
    step: undefined,
  }));

export const arbitraryEnum: fc.Arbitrary<EnumType> = fc.constantFrom<8 | 16 | 32>(8, 16, 32).chain((bits) =>
  fc
    .tuple(
      distinct(fc.bigInt({ min: 0n, max: (1n << BigInt(bits)) - 1n }), String, 8),
      distinct(arbitraryName, (name) => name.toLowerCase(), 8),
    )
    .map(([codes, names]) => ({
      kind: 'enum',
      bits,
      names: codes.slice(0, names.length).map((code, i) => ({ code, name: names[i]! })),
    })),
);

export const arbitraryFlags: fc.Arbitrary<FlagsType> = fc.constantFrom<8 | 16 | 24 | 32>(8, 16, 24, 32).chain((bits) =>
  fc
    .tuple(
      distinct(fc.nat(bits - 1), String, 8),
      distinct(arbitraryName, (name) => name.toLowerCase(), 8),
    )
    .map(([positions, names]) => ({
      kind: 'flags',
      bits,
      names: positions.slice(0, names.length).map((bit, i) => ({ bit, name: names[i]! })),
    })),
);

const arbitraryLengths = fc
  .tuple(fc.nat(24), fc.nat(24))
  .map(([a, b]) => ({ minLength: Math.min(a, b), maxLength: Math.max(a, b) }));

export const arbitraryText: fc.Arbitrary<TextType> = fc
  .tuple(fc.constantFrom<'utf8' | 'utf16'>('utf8', 'utf16'), arbitraryLengths)
  .map(([encoding, { minLength, maxLength }]) =>
    encoding === 'utf8'
      ? { kind: 'text', encoding, minLength, maxLength }
      : { kind: 'text', encoding, minLength: 2 * Math.floor(minLength / 2), maxLength: 2 * Math.floor(maxLength / 2) },
  );

const arbitraryLeaf: fc.Arbitrary<ValueType> = fc.oneof(
  fc.constant<ValueType>({ kind: 'boolean' }),
  { arbitrary: arbitraryInteger, weight: 4 },
  { arbitrary: arbitraryFloat, weight: 2 },
  arbitraryText,
  arbitraryLengths.map((lengths): ValueType => ({ kind: 'bytes', ...lengths })),
  arbitraryEnum,
  arbitraryFlags,
);

/** Any type; structs and arrays nested at most `depth` deep. */
export function arbitraryType(depth = 2): fc.Arbitrary<ValueType> {
  if (depth === 0) return arbitraryLeaf;
  return fc.oneof(
    { arbitrary: arbitraryLeaf, weight: 3 },
    { arbitrary: arbitraryStruct(depth), weight: 2 },
    { arbitrary: arbitraryArray(depth), weight: 1 },
  );
}

/** Up to six fields, many of them packed; only the last may vary in length. */
export function arbitraryStruct(depth = 2): fc.Arbitrary<StructType> {
  const packed = arbitraryInteger.filter((type) => type.bits % 8 !== 0);
  const field = fc.oneof(arbitraryType(depth - 1), packed);
  const ids = ['gain', 'offset', 'points', 'gain-b', 'x', 'y-2'];
  return fc.array(field, { minLength: 1, maxLength: ids.length }).map((types) => ({
    kind: 'struct',
    fields: types
      .filter((type, i) => i === types.length - 1 || isFixedLength(type))
      .map((type, i) => ({ id: ids[i]!, label: `Field ${i}`, type })),
  }));
}

export function arbitraryArray(depth = 2): fc.Arbitrary<ArrayType> {
  return fc
    .tuple(arbitraryType(depth - 1), fc.nat(5), fc.nat(5))
    .filter(([element]) => isFixedLength(element) && lengthRange(element).max > 0)
    .map(([element, a, b]) => ({ kind: 'array', element, minCount: Math.min(a, b), maxCount: Math.max(a, b) }));
}

/** Coded values that the type can hold; with `allowed`, only those that the contract allows (`checkCoded`). */
export function arbitraryCoded(type: ValueType, allowed = false): fc.Arbitrary<Coded> {
  switch (type.kind) {
    case 'boolean':
      return fc.boolean().map((value) => ({ kind: 'boolean', value }));
    case 'integer':
      return arbitraryCode(type, allowed).map((value) => ({ kind: 'integer', value }));
    case 'float':
      return arbitraryFloatValue(type, allowed);
    case 'enum':
      return (
        allowed
          ? fc.constantFrom(...type.names.map(({ code }) => code))
          : fc.oneof(fc.constantFrom(...type.names.map(({ code }) => code)), anyBits(type.bits))
      ).map((value) => ({ kind: 'integer', value }));
    case 'flags': {
      const named = type.names.reduce((mask, { bit }) => mask | (1n << BigInt(bit)), 0n);
      return anyBits(type.bits).map((bits) => ({ kind: 'integer', value: allowed ? bits & named : bits }));
    }
    case 'text':
      return fc
        .string({ unit: arbitraryCharacter, maxLength: type.maxLength })
        .map((text) => ({ kind: 'text', value: fit(type, text) }));
    case 'bytes':
      return fc
        .uint8Array({ minLength: type.minLength, maxLength: type.maxLength })
        .map((value) => ({ kind: 'bytes', value }));
    case 'struct':
      return fc
        .tuple(...type.fields.map((field) => arbitraryCoded(field.type, allowed)))
        .map((fields) => ({ kind: 'struct', fields }));
    case 'array':
      return fc
        .array(arbitraryCoded(type.element, allowed), { minLength: type.minCount, maxLength: type.maxCount })
        .map((items) => ({ kind: 'array', items }));
  }
}

/** A type with a value of it. */
export function arbitraryTyped(allowed = false, depth = 2): fc.Arbitrary<{ type: ValueType; coded: Coded }> {
  return arbitraryType(depth)
    .filter((type) => !allowed || isInhabited(type))
    .chain((type) => arbitraryCoded(type, allowed).map((coded) => ({ type, coded })));
}

/** True when the contract allows at least one value: a range may lie between two codes. */
export function isInhabited(type: ValueType): boolean {
  switch (type.kind) {
    case 'integer': {
      const { min, max } = codedRange(type);
      return min <= max;
    }
    case 'struct':
      return type.fields.every((field) => isInhabited(field.type));
    case 'array':
      return isInhabited(type.element);
    default:
      return true;
  }
}

function anyBits(bits: number): fc.Arbitrary<bigint> {
  return fc.bigInt({ min: 0n, max: (1n << BigInt(bits)) - 1n });
}

function arbitraryCode(type: IntegerType, allowed: boolean): fc.Arbitrary<bigint> {
  const { min, max } = allowed ? codedRange(type) : fullRange(type.bits, type.signed);
  const within = fc.oneof(fc.bigInt({ min, max }), fc.constantFrom(min, max));
  return type.special.length === 0
    ? within
    : fc.oneof(within, fc.constantFrom(...type.special.map(({ code }) => code)));
}

function arbitraryFloatValue(type: FloatType, allowed: boolean): fc.Arbitrary<Coded> {
  const { format, range } = type;
  if (allowed && range !== undefined) {
    return fc.nat(1000).map((part) => {
      const value = add(range.min, multiply(subtract(range.max, range.min), rational(part, 1000)));
      return codeFloat(format, value)!;
    });
  }
  if (format === 'float32') return fc.float().map((value) => ({ kind: 'double', value }));
  if (format === 'float64') return fc.double().map((value) => ({ kind: 'double', value }));
  const { mantissa, exponent } = medfloatLayouts[format];
  const value: fc.Arbitrary<Medfloat> = fc.oneof(
    fc
      .tuple(fc.integer({ min: -mantissa, max: mantissa }), fc.integer(exponent))
      .map(([m, e]): Medfloat => ({ kind: 'number', mantissa: m, exponent: e })),
    fc.constantFrom(...floatSpecials(format)).map((name): Medfloat => ({ kind: 'special', name })),
  );
  return value.map((medfloat) => ({ kind: 'medfloat', value: medfloat }));
}

/** Cuts a text to whole characters within the type's longest length and fills it up to the shortest. */
function fit(type: TextType, text: string): string {
  const octets = (part: string): number => (type.encoding === 'utf8' ? encodeUtf8(part).length : 2 * part.length);
  let out = '';
  for (const character of text) {
    if (octets(out + character) > type.maxLength) break;
    out += character;
  }
  while (octets(out) < type.minLength) out += ' ';
  return out;
}
