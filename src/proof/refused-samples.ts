import { bigToLe, concat, type Bytes } from '../base/bytes.ts';
import { codedRange, fullRange } from '../values/physical.ts';
import { decode, encode, isFixedLength, lengthRange } from '../values/codec.ts';
import { longestValue } from '../att/pdu.ts';
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
import { floatBytes, floatInRange, floatSpecials, nextFloat } from './float-samples.ts';
import type { Sample } from './sample.ts';
import { allowedSamples, distinct, letters } from './samples.ts';

/** `length`: another length than the contract's, Invalid Attribute Value Length. `value`: the contract's own error. */
export type RefusedSample = Sample & { readonly reason: 'length' | 'value' };

/**
 * True when a write of the sample is a write of the whole value. Octets that need prepared writes are laid over the old
 * value (Core Vol 3 Part F 3.4.6.3): fewer of them than the contract asks are then a part, which is no mistake.
 *
 * @param mtu in force
 */
export function isWholeWrite(type: ValueType, sample: RefusedSample, mtu: number): boolean {
  return sample.reason === 'value' || sample.bytes.length <= mtu - 3 || sample.bytes.length > lengthRange(type).max;
}

/**
 * Octets that the contract forbids, each as near to an allowed value as can be: one code beyond each end, one octet too
 * few and too many, none at all, the first code and bit without a name, text that is no text.
 */
export function refusedSamples(type: ValueType): readonly RefusedSample[] {
  const values = distinct(wrongValues(type)).map((sample) => ({ ...sample, reason: 'value' as const }));
  const lengths = distinct(wrongLengths(type)).map((sample) => ({ ...sample, reason: 'length' as const }));
  return [...values, ...lengths];
}

function wrongValues(type: ValueType): readonly Sample[] {
  switch (type.kind) {
    case 'boolean':
      return [
        { name: 'two', bytes: Uint8Array.of(2) },
        { name: 'all-ones', bytes: Uint8Array.of(0xff) },
      ];
    case 'integer':
      return wrongIntegers(type);
    case 'float':
      return wrongFloats(type);
    case 'text':
      return brokenTexts(type);
    case 'bytes':
      return [];
    case 'enum':
      return unnamedChoices(type);
    case 'flags':
      return unnamedBits(type);
    case 'struct':
      return wrongFields(type);
    case 'array':
      return wrongItems(type);
  }
}

function wrongIntegers(type: IntegerType): readonly Sample[] {
  const { min, max } = codedRange(type);
  const full = fullRange(type.bits, type.signed);
  const isSpecial = (code: bigint): boolean => type.special.some((special) => special.code === code);
  const beyond = (from: bigint, step: bigint): bigint => (isSpecial(from) ? beyond(from + step, step) : from);
  const codes: readonly (readonly [name: string, code: bigint])[] = [
    ['below-range', beyond(min - 1n, -1n)],
    ['above-range', beyond(max + 1n, 1n)],
    ['lowest-code', full.min],
    ['highest-code', full.max],
  ];
  return [
    ...codes
      .filter(([, code]) => code >= full.min && code <= full.max && (code < min || code > max) && !isSpecial(code))
      .map(([name, code]) => ({ name, bytes: integerBytes(type, code) })),
    ...spareBits(type),
  ];
}

/** A 12-bit value alone fills two octets: the bits beyond it belong to nothing and must stay clear. */
function spareBits(type: IntegerType): readonly Sample[] {
  if (type.bits % 8 === 0) return [];
  const bytes = integerBytes(type, codedRange(type).min).slice();
  const last = bytes.length - 1;
  bytes[last] = (bytes[last] ?? 0) ^ (1 << (type.bits % 8));
  return [{ name: 'spare-bit', bytes }];
}

function wrongFloats(type: FloatType): readonly Sample[] {
  if (type.range === undefined) return [];
  const ends = allowedSamples(type);
  const beyond = (name: string, end: Sample | undefined, direction: 1 | -1): readonly Sample[] => {
    const bytes = end === undefined ? undefined : nextFloat(type, end.bytes, direction);
    return bytes === undefined || floatInRange(type, bytes) ? [] : [{ name, bytes }];
  };
  return [
    ...beyond(
      'below-range',
      ends.find(({ name }) => name === 'min'),
      -1,
    ),
    ...beyond(
      'above-range',
      ends.find(({ name }) => name === 'max'),
      1,
    ),
    ...floatSpecials[type.format].map(([name, code]) => ({ name, bytes: floatBytes(type, code) })),
  ];
}

/** What is no UTF-8 (RFC 3629 section 3) or no UTF-16 (RFC 2781 section 2.2). */
const broken: Readonly<Record<TextType['encoding'], readonly Sample[]>> = {
  utf8: [
    { name: 'lone-continuation', bytes: Uint8Array.of(0x80) },
    { name: 'overlong-nul', bytes: Uint8Array.of(0xc0, 0x80) },
    { name: 'cut-short', bytes: Uint8Array.of(0xe2, 0x82) },
    { name: 'surrogate', bytes: Uint8Array.of(0xed, 0xa0, 0x80) },
    { name: 'beyond-unicode', bytes: Uint8Array.of(0xf4, 0x90, 0x80, 0x80) },
  ],
  utf16: [
    { name: 'high-surrogate-alone', bytes: Uint8Array.of(0x3c, 0xd8) },
    { name: 'low-surrogate-alone', bytes: Uint8Array.of(0x0a, 0xdf) },
  ],
};

function brokenTexts(type: TextType): readonly Sample[] {
  return broken[type.encoding]
    .map(({ name, bytes }) => ({
      name,
      bytes: concat(letters(type, Math.max(0, type.minLength - bytes.length)), bytes),
    }))
    .filter(({ bytes }) => bytes.length >= type.minLength && bytes.length <= type.maxLength);
}

function unnamedChoices(type: EnumType): readonly Sample[] {
  const named = new Set(type.names.map(({ code }) => code));
  const top = (1n << BigInt(type.bits)) - 1n;
  let lowest = 0n;
  while (named.has(lowest)) lowest += 1n;
  let highest = top;
  while (named.has(highest)) highest -= 1n;
  return [
    { name: 'unnamed-choice', code: lowest },
    { name: 'highest-unnamed-choice', code: highest },
  ]
    .filter(({ code }) => code >= 0n && code <= top)
    .map(({ name, code }) => ({ name, bytes: bigToLe(code, type.bits / 8) }));
}

function unnamedBits(type: FlagsType): readonly Sample[] {
  const named = new Set(type.names.map(({ bit }) => bit));
  const free = Array.from({ length: type.bits }, (_, bit) => bit).filter((bit) => !named.has(bit));
  const lowest = free[0];
  const highest = free[free.length - 1];
  if (lowest === undefined || highest === undefined) return [];
  return [
    { name: 'unnamed-bit', code: 1n << BigInt(lowest) },
    { name: 'highest-unnamed-bit', code: 1n << BigInt(highest) },
    { name: 'all-bits', code: (1n << BigInt(type.bits)) - 1n },
  ].map(({ name, code }) => ({ name, bytes: bigToLe(code, type.bits / 8) }));
}

/** Each field wrong in turn, the others right. */
function wrongFields(type: StructType): readonly Sample[] {
  const plain = type.fields.map((field) => codedOf(field.type, allowedSamples(field.type)[0]));
  return type.fields.flatMap((field, i) =>
    wrongValues(field.type).flatMap((sample) => {
      const wrong = codedOf(field.type, sample);
      const fields = plain.map((coded, j) => (j === i ? wrong : coded)).filter((coded) => coded !== undefined);
      // What the field's type cannot even hold (a broken text) is left to the values of that type alone.
      if (fields.length < type.fields.length) return [];
      const whole = encode(type, { kind: 'struct', fields });
      return whole.ok ? [{ name: `${field.id}-${sample.name}`, bytes: whole.value }] : [];
    }),
  );
}

/** The last item wrong, the ones before it right: a board that checks only the first is found out. */
function wrongItems(type: ArrayType): readonly Sample[] {
  const item = allowedSamples(type.element)[0];
  const count = Math.max(1, type.minCount, Math.min(type.maxCount, 2));
  if (item === undefined || type.maxCount === 0) return [];
  return wrongValues(type.element).map((sample) => ({
    name: `item-${sample.name}`,
    bytes: concat(...Array.from({ length: count - 1 }, () => item.bytes), sample.bytes),
  }));
}

function wrongLengths(type: ValueType): readonly Sample[] {
  const { min, max } = lengthRange(type);
  const wish: readonly (readonly [name: string, length: number])[] = [
    ['one-octet-short', min - 1],
    ['one-octet-long', max + 1],
    // No more than a queue of prepared writes must have room for: a full one is another refusal.
    ['twice-as-long', max + (isFixedLength(type) ? Math.min(max, 8) : 8)],
    ['empty', 0],
  ];
  const lengths = wish.filter(([, length]) => length >= 0 && length <= longestValue && (length < min || length > max));
  const wrong = lengths.map(([name, length]) => ({ name, bytes: ofLength(type, length) }));
  return type.kind === 'array' ? [...wrong, ...partItems(type)] : wrong;
}

/** One octet beyond a whole number of items, within the length that is allowed. */
function partItems(type: ArrayType): readonly Sample[] {
  const item = lengthRange(type.element).max;
  if (item < 2 || type.minCount === type.maxCount) return [];
  return [{ name: 'part-of-an-item', bytes: ofLength(type, type.minCount * item + 1) }];
}

/** An allowed value cut or grown to `length` octets: letters for texts, zeros for the rest. */
function ofLength(type: ValueType, length: number): Bytes {
  if (type.kind === 'text') return letters(type, length + 1).slice(0, length);
  const bytes = new Uint8Array(length);
  bytes.set((allowedSamples(type)[0]?.bytes ?? bytes).subarray(0, length));
  return bytes;
}

function codedOf(type: ValueType, sample: Sample | undefined): Coded | undefined {
  if (sample === undefined) return undefined;
  const coded = decode(type, sample.bytes);
  return coded.ok ? coded.value : undefined;
}

/** The code in as many octets as its width fills, two's complement. */
function integerBytes(type: IntegerType, code: bigint): Bytes {
  return bigToLe(code, Math.ceil(type.bits / 8));
}
