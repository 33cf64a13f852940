import type { Bytes } from '../base/bytes.ts';
import { compare, multiply, rational, type Rational } from '../base/rational.ts';
import { decode, encode } from './codec.ts';
import { floatDigits, floatPhysical, floatRange, type CodedFloat } from './float-coding.ts';
import { refusalWithin, refuse } from './refusal.ts';
import { codedRange, scaleFactor } from './scale.ts';
import { exactNumber, readableNumber, showRange, withUnit } from './show-number.ts';
import type { Coded, EnumType, FlagsType, FloatType, IntegerType, PhysicalRange, Refusal, ValueType } from './type.ts';

/**
 * Why a board refuses these octets as a value of this type: their length, their encoding, a number outside the range,
 * a code or bit without a name. `undefined` for a value that it takes.
 */
export function checkValue(type: ValueType, bytes: Bytes): Refusal | undefined {
  const decoded = decode(type, bytes);
  return decoded.ok ? checkAllowed(type, decoded.value) : decoded.refusal;
}

/** As {@link checkValue}, for the coded form. */
export function checkCoded(type: ValueType, coded: Coded): Refusal | undefined {
  const encoded = encode(type, coded);
  return encoded.ok ? checkAllowed(type, coded) : encoded.refusal;
}

export { floatRange } from './float-coding.ts';

/** `5 Hz is outside 0 to 4 Hz`. */
export function outsideRange(type: IntegerType | FloatType, value: Rational, range: PhysicalRange): Refusal {
  const found = type.kind === 'float' ? floatDigits(type.format, value) : foundDigits(value);
  return refuse('range', `${withUnit(found, type.unit)} is outside ${showRange(range, type.unit)}`).refusal;
}

/** All digits where they are not too many: a number just beyond a bound must not be shown as the bound. */
function foundDigits(value: Rational): string {
  const exact = exactNumber(value);
  return exact.length <= 30 ? exact : readableNumber(value);
}

/** `0 none, 1 fluorescein, …`: what a choice may be, cut after eight. */
export function showChoices(type: EnumType): string {
  return list(type.names.map(({ code, name }) => `${code} ${name}`));
}

/** What the contract forbids in a value that its type can hold. */
function checkAllowed(type: ValueType, coded: Coded): Refusal | undefined {
  switch (coded.kind) {
    case 'integer':
      if (type.kind === 'enum') return checkEnum(type, coded.value);
      if (type.kind === 'flags') return checkFlags(type, coded.value);
      return type.kind === 'integer' ? checkInteger(type, coded.value) : undefined;
    case 'double':
    case 'medfloat':
      return type.kind === 'float' ? checkFloat(type, coded) : undefined;
    case 'struct':
      return type.kind !== 'struct'
        ? undefined
        : firstRefusal(coded.fields, (i) => {
            const field = type.fields[i];
            return field === undefined ? undefined : { type: field.type, name: field.id };
          });
    case 'array':
      return type.kind !== 'array'
        ? undefined
        : firstRefusal(coded.items, (i) => ({ type: type.element, name: `[${i}]` }));
    case 'boolean':
    case 'text':
    case 'bytes':
      return undefined;
  }
}

function firstRefusal(
  parts: readonly Coded[],
  partAt: (index: number) => { readonly type: ValueType; readonly name: string } | undefined,
): Refusal | undefined {
  for (const [i, coded] of parts.entries()) {
    const part = partAt(i);
    const refusal = part === undefined ? undefined : checkAllowed(part.type, coded);
    if (part !== undefined && refusal !== undefined) return refusalWithin(part.name, refusal);
  }
  return undefined;
}

function checkInteger(type: IntegerType, code: bigint): Refusal | undefined {
  const { min, max } = codedRange(type);
  if (code >= min && code <= max) return undefined;
  if (type.special.some((special) => special.code === code)) return undefined;
  return outsideRange(type, multiply(rational(code), scaleFactor(type.scale)), type.range);
}

function checkFloat(type: FloatType, coded: CodedFloat): Refusal | undefined {
  const range = floatRange(type);
  if (range === undefined || type.range === undefined) return undefined;
  const physical = floatPhysical(coded);
  if (physical.kind === 'special') {
    return refuse('range', `${physical.name} is no number from ${showRange(type.range, type.unit)}`).refusal;
  }
  if (compare(physical.value, range.min) >= 0 && compare(physical.value, range.max) <= 0) return undefined;
  return outsideRange(type, physical.value, type.range);
}

function checkEnum(type: EnumType, code: bigint): Refusal | undefined {
  if (type.names.some((entry) => entry.code === code)) return undefined;
  return refuse('range', `code ${code} has no name; allowed are ${showChoices(type)}`).refusal;
}

function checkFlags(type: FlagsType, bits: bigint): Refusal | undefined {
  for (let bit = 0; bit < type.bits; bit++) {
    const set = ((bits >> BigInt(bit)) & 1n) === 1n;
    if (!set || type.names.some((entry) => entry.bit === bit)) continue;
    const named = list(type.names.map((entry) => `${entry.bit} ${entry.name}`));
    return refuse('range', `bit ${bit} is set and has no name; bits with names are ${named}`).refusal;
  }
  return undefined;
}

const longestList = 8;

function list(entries: readonly string[]): string {
  if (entries.length === 0) return 'none';
  return [...entries.slice(0, longestList), ...(entries.length > longestList ? ['…'] : [])].join(', ');
}
