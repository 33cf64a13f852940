import type { Rational } from '../base/rational.ts';

/**
 * The value model. One value has three forms, kept apart by three types:
 * raw (octets as they cross the air), coded (`Coded`: the integer, float or text those octets stand for) and physical
 * (`Physical`: a number in its unit, a name, a text). `codec.ts` goes between raw and coded, `physical.ts` between coded
 * and physical.
 */

/** Physical = coded * multiplier * 10^decimal * 2^binary. GATT Specification Supplement section 2. */
export type Scale = { readonly multiplier: number; readonly decimal: number; readonly binary: number };

export const unscaled: Scale = { multiplier: 1, decimal: 0, binary: 0 };

/** Inclusive bounds in physical units. */
export type PhysicalRange = { readonly min: Rational; readonly max: Rational };

/** A coded number that stands for no quantity: 0x8000 `unknown`. */
export type SpecialCode = { readonly code: bigint; readonly name: string };

/** Bits of the integer formats. Those that fill no whole octets occur only in structs, packed. */
export type UnsignedBits = 2 | 4 | 8 | 12 | 16 | 24 | 32 | 40 | 48 | 64 | 128;
export type SignedBits = 8 | 12 | 16 | 24 | 32 | 40 | 48 | 64 | 128;

/** An assigned unit: 16-bit UUID number (0x2722 hertz). */
export type UnitCode = number;

export type IntegerType = {
  readonly kind: 'integer';
  readonly signed: boolean;
  readonly bits: UnsignedBits | SignedBits;
  readonly scale: Scale;
  readonly unit: UnitCode;
  /** What the contract allows; within what the width can code. */
  readonly range: PhysicalRange;
  /** True when the contract gives a range narrower than, or other than, the full width. */
  readonly bounded: boolean;
  /** The resolution the user needs, in the unit; not what the coding gives. */
  readonly step: Rational | undefined;
  readonly special: readonly SpecialCode[];
};

export type FloatFormat = 'float32' | 'float64' | 'medfloat16' | 'medfloat32';

export type FloatType = {
  readonly kind: 'float';
  readonly format: FloatFormat;
  readonly unit: UnitCode;
  /** `undefined`: any number the format can hold. NaN and infinities are refused when a range is given. */
  readonly range: PhysicalRange | undefined;
  readonly step: Rational | undefined;
};

export type BooleanType = { readonly kind: 'boolean' };

/** Length in octets of the encoded text, both inclusive; no terminator, no length prefix. */
export type TextType = {
  readonly kind: 'text';
  readonly encoding: 'utf8' | 'utf16';
  readonly minLength: number;
  readonly maxLength: number;
};

/** Length in octets, both inclusive. */
export type BytesType = { readonly kind: 'bytes'; readonly minLength: number; readonly maxLength: number };

export type EnumType = {
  readonly kind: 'enum';
  readonly bits: 8 | 16 | 32;
  /** In the contract's order; codes and names are unique. Other codes are refused. */
  readonly names: readonly { readonly code: bigint; readonly name: string }[];
};

export type FlagsType = {
  readonly kind: 'flags';
  readonly bits: 8 | 16 | 24 | 32;
  /** Bit 0 is the least significant. Bits without a name must be 0. */
  readonly names: readonly { readonly bit: number; readonly name: string }[];
};

export type StructField = { readonly id: string; readonly label: string; readonly type: ValueType };

/**
 * Fields one behind the other, without padding. Fields narrower than an octet boundary share octets, the first in the
 * least significant bits; any other field starts on an octet. Only the last field may vary in length.
 */
export type StructType = { readonly kind: 'struct'; readonly fields: readonly StructField[] };

/** `minCount` = `maxCount` for a fixed array. The element has a fixed length of whole octets. */
export type ArrayType = {
  readonly kind: 'array';
  readonly element: ValueType;
  readonly minCount: number;
  readonly maxCount: number;
};

export type ValueType =
  BooleanType | IntegerType | FloatType | TextType | BytesType | EnumType | FlagsType | StructType | ArrayType;

/** An IEEE 11073 number keeps mantissa and exponent apart: 2, 2.0 and 2.00 are three values. */
export type Medfloat =
  | { readonly kind: 'number'; readonly mantissa: number; readonly exponent: number }
  | { readonly kind: 'special'; readonly name: MedfloatSpecial };

/** Not a number, not at this resolution, infinities, reserved. IEEE 11073-20601 Annex F. */
export type MedfloatSpecial = 'NaN' | 'NRes' | '+INFINITY' | '-INFINITY' | 'reserved';

/** The coded form, by the kind of the type. */
export type Coded =
  | { readonly kind: 'boolean'; readonly value: boolean }
  | { readonly kind: 'integer'; readonly value: bigint }
  /** float32 and float64; a float32 holds a number that float32 can hold. */
  | { readonly kind: 'double'; readonly value: number }
  | { readonly kind: 'medfloat'; readonly value: Medfloat }
  | { readonly kind: 'text'; readonly value: string }
  | { readonly kind: 'bytes'; readonly value: Uint8Array }
  | { readonly kind: 'struct'; readonly fields: readonly Coded[] }
  | { readonly kind: 'array'; readonly items: readonly Coded[] };

/** The physical form: what a person reads and types. Numbers are in the type's unit, exact. */
export type Physical =
  | { readonly kind: 'boolean'; readonly value: boolean }
  | { readonly kind: 'number'; readonly value: Rational }
  /** NaN, infinities, `unknown`: a coded value that is no quantity, by its name. */
  | { readonly kind: 'special'; readonly name: string }
  | { readonly kind: 'text'; readonly value: string }
  | { readonly kind: 'bytes'; readonly value: Uint8Array }
  /** `name` is `undefined` for a code that the contract does not name. */
  | { readonly kind: 'choice'; readonly code: bigint; readonly name: string | undefined }
  /** `unnamed` holds the set bits that have no name. */
  | { readonly kind: 'flags'; readonly set: readonly string[]; readonly unnamed: bigint }
  | { readonly kind: 'record'; readonly fields: readonly { readonly id: string; readonly value: Physical }[] }
  | { readonly kind: 'list'; readonly items: readonly Physical[] };

/** Why octets or a value are refused; `att/` turns it into an error code, `proof/` into a sentence. */
export type Refusal = {
  readonly reason: 'length' | 'range' | 'encoding' | 'type';
  /** A sentence part with found and allowed value and unit: `5.00 Hz is outside 0 to 4 Hz`. */
  readonly message: string;
  /** The field or item within a struct or array: `gain`, `[3]`, `points[2].x`; empty for the value itself. */
  readonly path: string;
};

export type Result<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly refusal: Refusal };
