import { bug } from '../../base/bug.ts';
import { bigToLe, noBytes, type Bytes } from '../../base/bytes.ts';
import { compare, zero, type Rational } from '../../base/rational.ts';
import { lengthRange, packedBits, packStruct } from '../../values/packing.ts';
import { floatRange } from '../../values/check.ts';
import { encode } from '../../values/codec.ts';
import { codeFloat, type CodedFloat } from '../../values/float-coding.ts';
import { medfloatLayouts } from '../../values/medfloat.ts';
import { codedRange, fullRange, type CodeRange } from '../../values/scale.ts';
import type { ArrayType, FloatType, IntegerType, StructType, ValueType } from '../../values/type.ts';
import { Octets } from './octets.ts';

/**
 * The check of a type as a program for the reader on the chip (docs/packed-table.md): the same answers as `checkValue`
 * gives, for octets whose number is right.
 */

/** Numbers of the operations. */
const op = {
  end: 0,
  skip: 1,
  zero: 2,
  sign: 3,
  ranges: 4,
  mask: 5,
  bits: 6,
  medfloat: 7,
  utf8: 8,
  utf16: 9,
  array: 10,
} as const;

/** How two numbers of some octets are compared. */
const order = { unsigned: 0, signed: 1, signMagnitude: 2 } as const;

/** Set in the order of a range that belongs to the encoding. */
const inEncoding = 0x80;

/** Arrays within arrays that the reader follows. */
export const deepestArrays = 4;

/** @returns the program's octets, or `undefined` when it has arrays nested deeper than the reader follows */
export function checkProgram(type: ValueType): { readonly octets: Bytes } | undefined {
  const program = new Program();
  program.value(type, true);
  if (program.depth > deepestArrays) return undefined;
  return { octets: program.finish() };
}

class Program {
  readonly #octets = new Octets();
  /** Octets passed over since the last operation. */
  #skipped = 0;
  #asks = false;
  depth = 0;

  /** Empty when nothing is asked. */
  finish(): Bytes {
    if (!this.#asks) return noBytes;
    return this.#octets.u8(op.end).finish();
  }

  /** @param last whether the value reaches to the end of the octets */
  value(type: ValueType, last: boolean): void {
    switch (type.kind) {
      case 'boolean':
        this.#ranges(1, order.unsigned | inEncoding, [{ min: 0n, max: 1n }]);
        break;
      case 'integer':
        this.#integer(type);
        break;
      case 'enum':
        this.#enum(
          type.bits,
          type.names.map(({ code }) => code),
        );
        break;
      case 'flags': {
        const mask = type.names.reduce((sum, { bit }) => sum | (1n << BigInt(bit)), 0n);
        this.#mask(type.bits / 8, mask);
        break;
      }
      case 'float':
        this.#float(type);
        break;
      case 'text':
        if (last || type.minLength > 0) {
          this.#operation(type.encoding === 'utf8' ? op.utf8 : op.utf16).variable(last ? 0 : type.minLength);
        }
        break;
      case 'bytes':
        this.#skip(type.minLength);
        break;
      case 'struct':
        this.#struct(type, last);
        break;
      case 'array':
        this.#array(type, last);
        break;
    }
  }

  #operation(code: number, n = 0): Octets {
    this.#asks = true;
    if (this.#skipped > 0) this.#octets.u8(op.skip).variable(this.#skipped);
    this.#skipped = 0;
    return this.#octets.u8(code | (n << 4));
  }

  #skip(octets: number): void {
    this.#skipped += octets;
  }

  #integer(type: IntegerType): void {
    const octets = Math.ceil(type.bits / 8);
    if (type.bits % 8 !== 0) {
      bug(type.bits === 12 || !type.signed, `no sint${type.bits}`);
      if (type.signed) this.#operation(op.sign);
      else this.#zero(octets - 1, 0xff & ~((1 << (type.bits % 8)) - 1));
    }
    const allowed = allowedCodes(type);
    const full = fullRange(type.bits, type.signed);
    if (isAll(allowed, full)) this.#skip(octets);
    else this.#ranges(octets, type.signed ? order.signed : order.unsigned, allowed);
  }

  #zero(ahead: number, mask: number): void {
    this.#operation(op.zero).variable(ahead).u8(mask);
  }

  #ranges(octets: number, how: number, ranges: readonly CodeRange[]): void {
    const program = this.#operation(op.ranges, octets - 1)
      .u8(how)
      .variable(ranges.length);
    for (const { min, max } of ranges) program.bytes(bigToLe(min, octets)).bytes(bigToLe(max, octets));
  }

  #enum(bits: number, codes: readonly bigint[]): void {
    const allowed = joined(codes.map((code) => ({ min: code, max: code })));
    if (isAll(allowed, fullRange(bits, false))) this.#skip(bits / 8);
    else this.#ranges(bits / 8, order.unsigned, allowed);
  }

  #mask(octets: number, mask: bigint): void {
    if (mask === fullRange(8 * octets, false).max) this.#skip(octets);
    else this.#operation(op.mask, octets - 1).bytes(bigToLe(mask, octets));
  }

  #float(type: FloatType): void {
    const bounds = floatBounds(type);
    if (type.format === 'medfloat16' || type.format === 'medfloat32') {
      const wide = type.format === 'medfloat32' ? 1 : 0;
      const program = this.#operation(op.medfloat, wide | (bounds === undefined ? 0 : 2));
      if (bounds !== undefined) program.bytes(bounds.least).bytes(bounds.greatest);
      return;
    }
    const octets = lengthRange(type).max;
    if (bounds === undefined) {
      this.#skip(octets);
      return;
    }
    const program = this.#operation(op.ranges, octets - 1);
    program.u8(order.signMagnitude).variable(1).bytes(bounds.least).bytes(bounds.greatest);
  }

  #struct(type: StructType, last: boolean): void {
    const packing = packStruct(type);
    for (const { bitOffset, bitLength } of packing.gaps) {
      this.#zero(Math.floor(bitOffset / 8), ((1 << bitLength) - 1) << (bitOffset % 8));
    }
    let passed = 0;
    for (const [i, { field, bitOffset, bitLength }] of packing.fields.entries()) {
      const octet = Math.floor(bitOffset / 8);
      this.#skip(octet - passed);
      passed = octet;
      if (packedBits(field.type) !== undefined) {
        this.#packed(field.type, bitOffset % 8);
      } else {
        this.value(field.type, last && i === packing.fields.length - 1);
        passed += bitLength / 8;
      }
    }
    this.#skip(packing.length.min - passed);
  }

  #packed(type: ValueType, position: number): void {
    if (type.kind !== 'integer') return;
    const allowed = allowedCodes(type);
    if (isAll(allowed, fullRange(type.bits, type.signed))) return;
    const program = this.#operation(op.bits)
      .u8(position, type.bits | (type.signed ? 0x80 : 0))
      .variable(allowed.length);
    for (const { min, max } of allowed) program.u16(Number(min), Number(max));
  }

  #array(type: ArrayType, last: boolean): void {
    const item = lengthRange(type.element).max;
    const body = new Program();
    body.value(type.element, false);
    const octets = body.finish();
    const toEnd = last && type.minCount !== type.maxCount;
    if (octets.length === 0 && !(toEnd && item > 1)) {
      this.#skip(type.minCount * item);
      return;
    }
    if (type.maxCount === 0) return;
    this.depth = Math.max(this.depth, body.depth + 1);
    this.#operation(op.array)
      .variable(item)
      .variable(toEnd ? 0 : type.minCount)
      .bytes(octets.length === 0 ? Uint8Array.of(op.end) : octets);
  }
}

/** Codes of the range and special codes, as ranges. */
function allowedCodes(type: IntegerType): readonly CodeRange[] {
  const range = codedRange(type);
  const special = type.special.map(({ code }) => ({ min: code, max: code }));
  return joined(range.min <= range.max ? [range, ...special] : special);
}

/** The same codes in ascending ranges that neither overlap nor touch. */
function joined(ranges: readonly CodeRange[]): readonly CodeRange[] {
  const ascending = [...ranges].sort((a, b) => (a.min < b.min ? -1 : a.min > b.min ? 1 : 0));
  const apart: { min: bigint; max: bigint }[] = [];
  for (const { min, max } of ascending) {
    const before = apart.at(-1);
    if (before === undefined || min > before.max + 1n) apart.push({ min, max });
    else if (max > before.max) before.max = max;
  }
  return apart;
}

function isAll([only, ...others]: readonly CodeRange[], full: CodeRange): boolean {
  return others.length === 0 && only?.min === full.min && only.max === full.max;
}

type FloatBounds = { readonly least: Bytes; readonly greatest: Bytes };

/**
 * The bounds as the format codes them. One beyond the format's numbers becomes its greatest or least number, for no
 * number lies there; when no number can be within, the bounds are crossed. Zero takes the sign that lets both zeros pass.
 */
function floatBounds(type: FloatType): FloatBounds | undefined {
  const range = floatRange(type);
  if (range === undefined) return undefined;
  const held = (bound: Rational): Bytes | undefined => {
    const coded = codeFloat(type.format, bound);
    return coded === undefined ? undefined : floatOctets(type, coded);
  };
  const least = held(range.min);
  const greatest = held(range.max);
  const above = least === undefined && compare(range.min, zero) > 0;
  const below = greatest === undefined && compare(range.max, zero) < 0;
  if (above || below) return { least: extreme(type, 1), greatest: extreme(type, -1) };
  return {
    least: withSignOfZero(type, least ?? extreme(type, -1), range.min, 0x80),
    greatest: withSignOfZero(type, greatest ?? extreme(type, 1), range.max, 0x00),
  };
}

function withSignOfZero(type: FloatType, octets: Bytes, bound: Rational, top: number): Bytes {
  if (type.format === 'medfloat16' || type.format === 'medfloat32' || compare(bound, zero) !== 0) return octets;
  return Uint8Array.from(octets, (octet, i) => (i === octets.length - 1 ? top : octet));
}

/** The number of the greatest magnitude. */
function extreme(type: FloatType, sign: 1 | -1): Bytes {
  switch (type.format) {
    case 'float32':
      return floatOctets(type, { kind: 'double', value: sign * (2 - 2 ** -23) * 2 ** 127 });
    case 'float64':
      return floatOctets(type, { kind: 'double', value: sign * Number.MAX_VALUE });
    case 'medfloat16':
    case 'medfloat32': {
      const { mantissa, exponent } = medfloatLayouts[type.format];
      const value = { kind: 'number', mantissa: sign * mantissa, exponent: exponent.max } as const;
      return floatOctets(type, { kind: 'medfloat', value });
    }
  }
}

function floatOctets(type: FloatType, coded: CodedFloat): Bytes {
  const encoded = encode({ ...type, range: undefined }, coded);
  bug(encoded.ok, 'a number of the format has octets');
  return encoded.value;
}
