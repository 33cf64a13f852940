import { noBytes, type Bytes } from '../base/bytes.ts';
import { compare, zero, type Rational } from '../base/rational.ts';
import { encode, lengthRange } from './codec.ts';
import { codeFloat, type CodedFloat } from './float-coding.ts';
import { codedRange, fullRange } from './scale.ts';
import type { Coded, FloatType, IntegerType, ValueType } from './type.ts';

/**
 * The value at power-up when the contract gives none: 0 or the allowed number nearest to it, false, the first name, no
 * flags, the shortest text (blanks), octets (zeros) or array. A type that no value fits, a UTF-16 text of 3 octets, gives
 * zeros.
 */
export function defaultBytes(type: ValueType): Bytes {
  const encoded = encode(type, defaultCoded(type));
  return encoded.ok ? encoded.value : new Uint8Array(lengthRange(type).min);
}

/** As {@link defaultBytes}, in the coded form. */
export function defaultCoded(type: ValueType): Coded {
  switch (type.kind) {
    case 'boolean':
      return { kind: 'boolean', value: false };
    case 'integer':
      return { kind: 'integer', value: defaultCode(type) };
    case 'float':
      return defaultFloat(type);
    case 'enum':
      return { kind: 'integer', value: type.names[0]?.code ?? 0n };
    case 'flags':
      return { kind: 'integer', value: 0n };
    case 'text': {
      const units = type.encoding === 'utf8' ? type.minLength : Math.ceil(type.minLength / 2);
      return { kind: 'text', value: ' '.repeat(units) };
    }
    case 'bytes':
      return { kind: 'bytes', value: type.minLength === 0 ? noBytes : new Uint8Array(type.minLength) };
    case 'struct':
      return { kind: 'struct', fields: type.fields.map((field) => defaultCoded(field.type)) };
    case 'array':
      return { kind: 'array', items: Array.from({ length: type.minCount }, () => defaultCoded(type.element)) };
  }
}

function defaultCode(type: IntegerType): bigint {
  const allowed = codedRange(type);
  // A range that no code reaches is a finding elsewhere; the start still needs octets.
  const { min, max } = allowed.min <= allowed.max ? allowed : fullRange(type.bits, type.signed);
  return min > 0n ? min : max < 0n ? max : 0n;
}

function defaultFloat(type: FloatType): CodedFloat {
  const nearest = type.range === undefined ? zero : nearestToZero(type.range.min, type.range.max);
  return codeFloat(type.format, nearest) ?? codeFloat(type.format, zero) ?? { kind: 'double', value: 0 };
}

function nearestToZero(min: Rational, max: Rational): Rational {
  if (compare(min, zero) > 0) return min;
  return compare(max, zero) < 0 ? max : zero;
}
