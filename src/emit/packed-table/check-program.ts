import { bug } from '../../base/bug.ts';
import { bigToLe, noBytes, type Bytes } from '../../base/bytes.ts';
import { compare, rational, type Rational } from '../../base/rational.ts';
import { lengthRange, packedBits, packStruct } from '../../values/packing.ts';
import { floatRange } from '../../values/check.ts';
import { encode } from '../../values/codec.ts';
import { codeFloat } from '../../values/float-coding.ts';
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
    return this.#octets.u8(op.end).finish(noPool);
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
        this.#operation(type.encoding === 'utf8' ? op.utf8 : op.utf16).variable(last ? 0 : type.minLength);
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
    const octets = lengthRange(type).max;
    const range = floatRange(type);
    if (type.format === 'medfloat16' || type.format === 'medfloat32') {
      const width = type.format === 'medfloat32' ? 1 : 0;
      const program = this.#operation(op.medfloat, width | (range === undefined ? 0 : 2));
      if (range === undefined) return;
      program.bytes(boundOctets(type, range.min, 'least')).bytes(boundOctets(type, range.max, 'greatest'));
    } else if (range === undefined) {
      this.#skip(octets);
    } else {
      const least = boundOctets(type, range.min, 'least');
      const greatest = boundOctets(type, range.max, 'greatest');
      this.#operation(op.ranges, octets - 1)
        .u8(order.signMagnitude)
        .variable(1)
        .bytes(least)
        .bytes(greatest);
    }
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

/** Programs hold no references. */
const noPool = {
  offset: (): never => bug(false, 'a check program refers to no constant'),
};

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

/**
 * A bound as the format codes it. One beyond the format's numbers becomes its greatest or least number, for nothing
 * else lies there; zero takes the sign that lets both zeros pass.
 */
function boundOctets(type: FloatType, bound: Rational, which: 'least' | 'greatest'): Bytes {
  const unranged: FloatType = { ...type, range: undefined };
  const coded = codeFloat(type.format, bound);
  const encoded = coded === undefined ? undefined : encode(unranged, coded);
  const positive = compare(bound, rational(0)) > 0;
  if (encoded === undefined) return extremeOctets(type, positive);
  bug(encoded.ok, 'a coded float has octets');
  const bytes = Uint8Array.from(encoded.value);
  const isDouble = type.format === 'float32' || type.format === 'float64';
  if (isDouble && compare(bound, rational(0)) === 0) bytes[bytes.length - 1] = which === 'least' ? 0x80 : 0x00;
  return bytes;
}

function extremeOctets(type: FloatType, positive: boolean): Bytes {
  const unranged: FloatType = { ...type, range: undefined };
  const sign = positive ? 1 : -1;
  const extremes = {
    float32: { kind: 'double', value: sign * 3.4028234663852886e38 },
    float64: { kind: 'double', value: sign * Number.MAX_VALUE },
    medfloat16: { kind: 'medfloat', value: { kind: 'number', mantissa: sign * 2045, exponent: 7 } },
    medfloat32: { kind: 'medfloat', value: { kind: 'number', mantissa: sign * 8_388_605, exponent: 127 } },
  } as const;
  const encoded = encode(unranged, extremes[type.format]);
  bug(encoded.ok, 'the greatest number of a format has octets');
  return encoded.value;
}
