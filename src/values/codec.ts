import { bigFromLe, bigToLe, concat, noBytes, toHex, type Bytes } from '../base/bytes.ts';
import { floatFromLe, floatToLe, isOfFormat } from './float.ts';
import { decodeMedfloat, encodeMedfloat, medfloatLayouts } from './medfloat.ts';
import { lengthRange, packedBits, packStruct } from './packing.ts';
import { checkCount, countOf, ok, refuse, refuseWithin, type Refused } from './refusal.ts';
import { fullRange } from './scale.ts';
import type { ArrayType, Coded, FloatType, IntegerType, Result, StructType, TextType, ValueType } from './type.ts';
import { decodeUtf16, encodeUtf16 } from './utf16.ts';
import { decodeUtf8, encodeUtf8, loneSurrogate } from './utf8.ts';

export { isFixedLength, lengthRange } from './packing.ts';

/**
 * Raw <-> coded. Both directions know what octets of a type can be, not what the contract allows: ranges and names are
 * `check.ts`.
 */

/**
 * The octets of a value.
 *
 * Refused: a code that the width cannot hold, a double that is no float32, a lone surrogate, a text, array or octet
 * string of a forbidden length, and a coded value of another kind than the type's.
 */
export function encode(type: ValueType, coded: Coded): Result<Bytes> {
  switch (type.kind) {
    case 'boolean':
      return coded.kind === 'boolean' ? ok(Uint8Array.of(coded.value ? 1 : 0)) : wrongKind(type, coded);
    case 'integer':
      return coded.kind === 'integer' ? encodeInteger(type, coded.value) : wrongKind(type, coded);
    case 'enum':
    case 'flags':
      return coded.kind === 'integer'
        ? encodeInteger({ bits: type.bits, signed: false }, coded.value)
        : wrongKind(type, coded);
    case 'float':
      return encodeFloat(type, coded);
    case 'text':
      return coded.kind === 'text' ? encodeText(type, coded.value) : wrongKind(type, coded);
    case 'bytes':
      if (coded.kind !== 'bytes') return wrongKind(type, coded);
      return checkCount(coded.value.length, type.minLength, type.maxLength, 'octet') ?? ok(coded.value.slice());
    case 'struct':
      return coded.kind === 'struct' ? encodeStruct(type, coded.fields) : wrongKind(type, coded);
    case 'array':
      return coded.kind === 'array' ? encodeArray(type, coded.items) : wrongKind(type, coded);
  }
}

/**
 * The coded value of octets; total: any octets give a value or a refusal.
 *
 * Refused: another length than the type's, an ill-formed text, a boolean other than 0 and 1, bits that must be 0 (or
 * repeat the sign) and do not, a medical float that is neither number nor special value.
 */
export function decode(type: ValueType, bytes: Bytes): Result<Coded> {
  const { min, max } = lengthRange(type);
  const wrongLength = checkCount(bytes.length, min, max, 'octet');
  if (wrongLength !== undefined) return wrongLength;
  switch (type.kind) {
    case 'boolean': {
      const octet = bytes[0] ?? 0;
      return octet > 1 ? refuse('range', `${octet} is neither 0 nor 1`) : ok({ kind: 'boolean', value: octet === 1 });
    }
    case 'integer':
      return decodeInteger(type, bytes);
    case 'enum':
    case 'flags':
      return ok({ kind: 'integer', value: bigFromLe(bytes) });
    case 'float':
      return decodeFloat(type, bytes);
    case 'text':
      return decodeText(type, bytes);
    case 'bytes':
      return ok({ kind: 'bytes', value: bytes.slice() });
    case 'struct':
      return decodeStruct(type, bytes);
    case 'array':
      return decodeArray(type, bytes);
  }
}

function wrongKind(type: ValueType, coded: Coded): Refused {
  return refuse('type', `a ${coded.kind} stands where a value of kind ${type.kind} is needed`);
}

function encodeInteger(type: Pick<IntegerType, 'bits' | 'signed'>, value: bigint): Result<Bytes> {
  const { min, max } = fullRange(type.bits, type.signed);
  if (value < min || value > max) return refuse('range', `code ${value} is outside ${min} to ${max}`);
  return ok(bigToLe(value, Math.ceil(type.bits / 8)));
}

function decodeInteger(type: IntegerType, bytes: Bytes): Result<Coded> {
  const raw = bigFromLe(bytes);
  const value = type.signed ? BigInt.asIntN(type.bits, raw) : BigInt.asUintN(type.bits, raw);
  if (BigInt.asUintN(8 * bytes.length, value) !== raw) {
    const spare = 8 * bytes.length - type.bits;
    return refuse(
      'encoding',
      `0x${toHex(bigToLe(raw, bytes.length).reverse())} has a bit set beyond its ${type.bits}: ` +
        `the upper ${spare} must ${type.signed ? 'repeat the sign' : 'be 0'}`,
    );
  }
  return ok({ kind: 'integer', value });
}

function encodeFloat(type: FloatType, coded: Coded): Result<Bytes> {
  if (type.format === 'float32' || type.format === 'float64') {
    if (coded.kind !== 'double') return wrongKind(type, coded);
    if (!isOfFormat(type.format, coded.value)) {
      return refuse('encoding', `${coded.value} is no float32; the nearest is ${Math.fround(coded.value)}`);
    }
    return ok(floatToLe(type.format, coded.value));
  }
  if (coded.kind !== 'medfloat') return wrongKind(type, coded);
  const code = encodeMedfloat(type.format, coded.value);
  if (code !== undefined) return ok(bigToLe(BigInt(code), type.format === 'medfloat16' ? 2 : 4));
  const { mantissa, exponent } = medfloatLayouts[type.format];
  const found =
    coded.value.kind === 'number' ? `${coded.value.mantissa} * 10^${coded.value.exponent}` : coded.value.name;
  return refuse(
    'range',
    `${found} is outside mantissa -${mantissa} to ${mantissa} with exponent ${exponent.min} to ${exponent.max}`,
  );
}

function decodeFloat(type: FloatType, bytes: Bytes): Result<Coded> {
  if (type.format === 'float32' || type.format === 'float64') {
    return ok({ kind: 'double', value: floatFromLe(type.format, bytes) });
  }
  const code = Number(bigFromLe(bytes));
  const value = decodeMedfloat(type.format, code);
  if (value !== undefined) return ok({ kind: 'medfloat', value });
  const limit = medfloatLayouts[type.format].mantissa;
  const hex = toHex(bytes.slice().reverse());
  return refuse('encoding', `0x${hex} has a mantissa outside -${limit} to ${limit} and is no special value`);
}

function encodeText(type: TextType, text: string): Result<Bytes> {
  const lone = loneSurrogate(text);
  if (lone !== undefined) {
    const unit = text.charCodeAt(lone).toString(16);
    return refuse('encoding', `character ${lone + 1} is 0x${unit}, half of a surrogate pair`);
  }
  const bytes = type.encoding === 'utf8' ? encodeUtf8(text) : encodeUtf16(text);
  return checkCount(bytes.length, type.minLength, type.maxLength, 'octet') ?? ok(bytes);
}

function decodeText(type: TextType, bytes: Bytes): Result<Coded> {
  const decoded = type.encoding === 'utf8' ? decodeUtf8(bytes) : decodeUtf16(bytes);
  if (decoded.ok) return ok({ kind: 'text', value: decoded.text });
  const name = type.encoding === 'utf8' ? 'UTF-8' : 'UTF-16';
  return refuse('encoding', `octet ${decoded.offset} breaks ${name}: ${decoded.why}`);
}

function encodeStruct(type: StructType, fields: readonly Coded[]): Result<Bytes> {
  if (fields.length !== type.fields.length) {
    return refuse('type', `${countOf(fields.length, 'field')} instead of ${type.fields.length}`);
  }
  const packing = packStruct(type);
  let bytes: Bytes = new Uint8Array(packing.length.min);
  for (const [i, { field, bitOffset, bitLength }] of packing.fields.entries()) {
    const coded = fields[i];
    const part = coded === undefined ? wrongField() : encode(field.type, coded);
    if (!part.ok) return refuseWithin(field.id, part);
    if (packedBits(field.type) !== undefined) {
      writeBits(bytes, bitOffset, bitLength, part.value);
      continue;
    }
    const offset = bitOffset / 8;
    if (offset + part.value.length > bytes.length) bytes = concat(bytes.slice(0, offset), part.value);
    else bytes.set(part.value, offset);
  }
  return ok(bytes);
}

function wrongField(): Refused {
  return refuse('type', 'the field is missing');
}

function decodeStruct(type: StructType, bytes: Bytes): Result<Coded> {
  const packing = packStruct(type);
  for (const gap of packing.gaps) {
    const found = readBits(bytes, gap.bitOffset, gap.bitLength);
    if (found !== 0n) {
      const place = `bits ${gap.bitOffset % 8} to 7 of octet ${Math.floor(gap.bitOffset / 8)}`;
      return refuse('encoding', `${place} hold ${found} and must be 0`);
    }
  }
  const fields: Coded[] = [];
  for (const [i, { field, bitOffset, bitLength }] of packing.fields.entries()) {
    const end = i === packing.fields.length - 1 ? bytes.length : (bitOffset + bitLength) / 8;
    const part =
      packedBits(field.type) === undefined
        ? decode(field.type, bytes.slice(bitOffset / 8, end))
        : ok<Coded>({ kind: 'integer', value: packedValue(field.type, readBits(bytes, bitOffset, bitLength)) });
    if (!part.ok) return refuseWithin(field.id, part);
    fields.push(part.value);
  }
  return ok({ kind: 'struct', fields });
}

function packedValue(type: ValueType, bits: bigint): bigint {
  return type.kind === 'integer' && type.signed ? BigInt.asIntN(type.bits, bits) : bits;
}

function encodeArray(type: ArrayType, items: readonly Coded[]): Result<Bytes> {
  const wrongCount = checkCount(items.length, type.minCount, type.maxCount, 'item');
  if (wrongCount !== undefined) return wrongCount;
  const parts: Bytes[] = [];
  for (const [i, item] of items.entries()) {
    const part = encode(type.element, item);
    if (!part.ok) return refuseWithin(`[${i}]`, part);
    parts.push(part.value);
  }
  return ok(parts.length === 0 ? noBytes : concat(...parts));
}

function decodeArray(type: ArrayType, bytes: Bytes): Result<Coded> {
  const length = lengthRange(type.element).max;
  if (length === 0 || bytes.length % length !== 0) {
    return refuse('length', `${bytes.length} octets are no whole number of items of ${length} octets`);
  }
  const items: Coded[] = [];
  for (let offset = 0; offset < bytes.length; offset += length) {
    const part = decode(type.element, bytes.slice(offset, offset + length));
    if (!part.ok) return refuseWithin(`[${items.length}]`, part);
    items.push(part.value);
  }
  return ok({ kind: 'array', items });
}

/** Bit 0 is the least significant of the first octet. */
function readBits(bytes: Bytes, bitOffset: number, bitLength: number): bigint {
  const first = Math.floor(bitOffset / 8);
  const window = bigFromLe(bytes.subarray(first, Math.ceil((bitOffset + bitLength) / 8)));
  return BigInt.asUintN(bitLength, window >> BigInt(bitOffset % 8));
}

/** Sets the lowest `bitLength` bits of `value` (octets, least significant first) into bits that are 0 so far. */
function writeBits(bytes: Bytes, bitOffset: number, bitLength: number, value: Bytes): void {
  const first = Math.floor(bitOffset / 8);
  const shifted = BigInt.asUintN(bitLength, bigFromLe(value)) << BigInt(bitOffset % 8);
  for (const [i, octet] of bigToLe(shifted, Math.ceil(((bitOffset % 8) + bitLength) / 8)).entries()) {
    bytes[first + i] = (bytes[first + i] ?? 0) | octet;
  }
}
