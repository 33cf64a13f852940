import { bug } from '../base/bug.ts';
import { multiply, parseRational, powerOf, rational, type Rational } from '../base/rational.ts';
import { unitByName } from './units.ts';

/**
 * The format of an adopted characteristic. It has the shape of the value model's types (`values/type.ts`), which this
 * room cannot import, so that a contract takes it as it is. Kinds that no adopted format here needs are left out.
 */
export type AdoptedType =
  | AdoptedInteger
  | { readonly kind: 'boolean' }
  | {
      readonly kind: 'float';
      readonly format: 'float32' | 'float64' | 'medfloat16' | 'medfloat32';
      readonly unit: number;
      readonly range: AdoptedRange | undefined;
      readonly step: undefined;
    }
  | { readonly kind: 'text'; readonly encoding: 'utf8'; readonly minLength: number; readonly maxLength: number }
  | { readonly kind: 'bytes'; readonly minLength: number; readonly maxLength: number }
  | {
      readonly kind: 'enum';
      readonly bits: 8;
      readonly names: readonly { readonly code: bigint; readonly name: string }[];
    }
  | {
      readonly kind: 'flags';
      readonly bits: 8;
      readonly names: readonly { readonly bit: number; readonly name: string }[];
    }
  | { readonly kind: 'struct'; readonly fields: readonly AdoptedField[] };

export type AdoptedInteger = {
  readonly kind: 'integer';
  readonly signed: boolean;
  readonly bits: IntegerBits;
  readonly scale: { readonly multiplier: number; readonly decimal: number; readonly binary: number };
  readonly unit: number;
  readonly range: AdoptedRange;
  readonly bounded: boolean;
  readonly step: undefined;
  readonly special: readonly { readonly code: bigint; readonly name: string }[];
};

export type IntegerBits = 8 | 16 | 24 | 32 | 40 | 48 | 64;
export type AdoptedRange = { readonly min: Rational; readonly max: Rational };
export type AdoptedField = { readonly id: string; readonly label: string; readonly type: AdoptedType };

/** What an integer format says besides its width. Bounds in physical units, as decimal text. */
export type IntegerOptions = {
  readonly unit?: string;
  readonly multiplier?: number;
  readonly decimal?: number;
  readonly binary?: number;
  readonly range?: readonly [min: string, max: string];
  /** Codes that stand for no quantity, as they are read (0x8000 of a sint16 is -0x8000). */
  readonly special?: Readonly<Record<string, number>>;
};

export function uint(bits: IntegerBits, options: IntegerOptions = {}): AdoptedInteger {
  return integer(false, bits, options);
}

export function sint(bits: IntegerBits, options: IntegerOptions = {}): AdoptedInteger {
  return integer(true, bits, options);
}

function integer(signed: boolean, bits: IntegerBits, options: IntegerOptions): AdoptedInteger {
  const { multiplier = 1, decimal = 0, binary = 0, range, special = {} } = options;
  const top = 1n << BigInt(signed ? bits - 1 : bits);
  const factor = multiply(multiply(rational(multiplier), powerOf(10n, decimal)), powerOf(2n, binary));
  const full = { min: multiply(rational(signed ? -top : 0n), factor), max: multiply(rational(top - 1n), factor) };
  return {
    kind: 'integer',
    signed,
    bits,
    scale: { multiplier, decimal, binary },
    unit: unitCode(options.unit ?? 'unitless'),
    range: range === undefined ? full : { min: decimalNumber(range[0]), max: decimalNumber(range[1]) },
    bounded: range !== undefined,
    step: undefined,
    special: Object.entries(special).map(([name, code]) => ({ code: BigInt(code), name })),
  };
}

export function float(format: 'float32' | 'float64' | 'medfloat16' | 'medfloat32', unit: string): AdoptedType {
  return { kind: 'float', format, unit: unitCode(unit), range: undefined, step: undefined };
}

/** @param maxLength octets, 512 unless the standard says less */
export function text(maxLength = 512): AdoptedType {
  return { kind: 'text', encoding: 'utf8', minLength: 0, maxLength };
}

/** Names by code, one octet. */
export function choice(names: Readonly<Record<number, string>>): AdoptedType {
  return {
    kind: 'enum',
    bits: 8,
    names: Object.entries(names).map(([code, name]) => ({ code: BigInt(code), name })),
  };
}

/** Names of the bits of one octet, bit 0 first. */
export function bits8(...names: readonly string[]): AdoptedType {
  return { kind: 'flags', bits: 8, names: names.map((name, bit) => ({ bit, name })) };
}

/** Fields by label; the id is the label in kebab case. */
export function struct(fields: Readonly<Record<string, AdoptedType>>): AdoptedType {
  return {
    kind: 'struct',
    fields: Object.entries(fields).map(([label, type]) => ({
      id: label.toLowerCase().replace(/ /g, '-'),
      label,
      type,
    })),
  };
}

function decimalNumber(text: string): Rational {
  const value = parseRational(text);
  bug(value !== undefined, `no number: ${text}`);
  return value;
}

function unitCode(name: string): number {
  const unit = unitByName(name);
  bug(unit !== undefined, `no unit: ${name}`);
  return unit.code;
}
