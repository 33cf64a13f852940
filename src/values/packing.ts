import type { StructField, StructType, ValueType } from './type.ts';

/**
 * Where values lie in octets. Integers of 2, 4 and 12 bits share octets with their neighbours in a struct, the first in
 * the least significant bits (Mesh Model 1.5, the same rule as the GATT Specification Supplement); every other field
 * starts on an octet. What that leaves free is 0.
 */

/** Bits of an integer that fills no whole octets; `undefined` for every other type. */
export function packedBits(type: ValueType): number | undefined {
  return type.kind === 'integer' && type.bits % 8 !== 0 ? type.bits : undefined;
}

export type PlacedField = {
  readonly field: StructField;
  /** From the least significant bit of the struct's first octet. */
  readonly bitOffset: number;
  /** The least number of bits, for a field that varies in length. */
  readonly bitLength: number;
  readonly variable: boolean;
};

export type Packing = {
  readonly fields: readonly PlacedField[];
  /** Bits that belong to no field; they are 0. */
  readonly gaps: readonly { readonly bitOffset: number; readonly bitLength: number }[];
  /** Octets of the whole. */
  readonly length: { readonly min: number; readonly max: number };
};

/** Places the fields of a struct. A field of varying length before the last is placed as if it had its least length. */
export function packStruct(type: StructType): Packing {
  const fields: PlacedField[] = [];
  const gaps: { bitOffset: number; bitLength: number }[] = [];
  let position = 0;
  let slack = 0;
  const toOctet = (): void => {
    const rest = (8 - (position % 8)) % 8;
    if (rest > 0) gaps.push({ bitOffset: position, bitLength: rest });
    position += rest;
  };
  for (const field of type.fields) {
    const bits = packedBits(field.type);
    if (bits === undefined) toOctet();
    const { min, max } = lengthRange(field.type);
    const bitLength = bits ?? 8 * min;
    fields.push({ field, bitOffset: position, bitLength, variable: min !== max });
    position += bitLength;
    slack += max - min;
  }
  toOctet();
  return { fields, gaps, length: { min: position / 8, max: position / 8 + slack } };
}

/** Octets that an encoded value takes, both inclusive. */
export function lengthRange(type: ValueType): { readonly min: number; readonly max: number } {
  switch (type.kind) {
    case 'boolean':
      return fixed(1);
    case 'integer':
    case 'enum':
    case 'flags':
      return fixed(Math.ceil(type.bits / 8));
    case 'float':
      return fixed({ medfloat16: 2, float32: 4, medfloat32: 4, float64: 8 }[type.format]);
    case 'text':
    case 'bytes':
      return { min: type.minLength, max: type.maxLength };
    case 'struct':
      return packStruct(type).length;
    case 'array': {
      const item = lengthRange(type.element);
      return { min: type.minCount * item.min, max: type.maxCount * item.max };
    }
  }
}

export function isFixedLength(type: ValueType): boolean {
  const { min, max } = lengthRange(type);
  return min === max;
}

function fixed(length: number): { min: number; max: number } {
  return { min: length, max: length };
}
