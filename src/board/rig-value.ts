import { compare, toDouble } from '../base/rational.ts';
import { codedRange, toCoded, toPhysical } from '../values/physical.ts';
import { parsePhysical, physicalFromDouble } from '../values/parse.ts';
import { decode } from '../values/codec.ts';
import { defaultCoded } from '../values/start.ts';
import { encodeUtf8, decodeUtf8, truncateUtf8 } from '../values/utf8.ts';
import { typeName } from '../values/show.ts';
import type { Bytes } from '../base/bytes.ts';
import type {
  Coded,
  EnumType,
  FlagsType,
  FloatType,
  IntegerType,
  Physical,
  PhysicalRange,
  TextType,
  ValueType,
} from '../values/type.ts';
import type { RigValue } from './model.ts';

/** A rig's own mistake, told to whoever runs the board; it stops the rig, not the board. */
export class RigMistake extends Error {}

/**
 * What a rig sets, as a coded value the contract allows: numbers rounded to the nearest code and held within the range,
 * texts cut or filled with blanks to their length, lists to their count.
 *
 * @param now the value as it is, for the fields of a struct that are left out
 * @throws RigMistake for a value of the wrong kind, or a name the type does not have
 */
export function coerce(type: ValueType, value: RigValue, now: Coded): Coded {
  switch (type.kind) {
    case 'boolean':
      return { kind: 'boolean', value: truth(value, type) };
    case 'integer':
      return { kind: 'integer', value: integerCode(type, value) };
    case 'float':
      return floatCode(type, value);
    case 'text':
      return { kind: 'text', value: fitText(type, typeof value === 'string' ? value : misfit(type, value)) };
    case 'bytes':
      return { kind: 'bytes', value: octets(value, type, type.minLength, type.maxLength) };
    case 'enum':
      return { kind: 'integer', value: enumCode(type, value) };
    case 'flags':
      return { kind: 'integer', value: flagsCode(type, value) };
    case 'struct': {
      const given = isRecord(value) ? value : misfit(type, value);
      for (const id of Object.keys(given)) {
        if (!type.fields.some((field) => field.id === id)) throw new RigMistake(`the struct has no field ${id}`);
      }
      const fields = type.fields.map((field, i) => {
        const part = given[field.id];
        const old = (now.kind === 'struct' ? now.fields[i] : undefined) ?? defaultCoded(field.type);
        return part === undefined ? old : coerce(field.type, part, old);
      });
      return { kind: 'struct', fields };
    }
    case 'array': {
      const list: readonly RigValue[] = Array.isArray(value) ? value : misfit(type, value);
      const blank = defaultCoded(type.element);
      const items = list.slice(0, type.maxCount).map((item) => coerce(type.element, item, blank));
      while (items.length < type.minCount) items.push(blank);
      return { kind: 'array', items };
    }
  }
}

/**
 * A value as the number a rig reckons with: physical units, 0 or 1, or a code. NaN for a special code.
 *
 * @throws RigMistake for a value that is no number
 */
export function asNumber(type: ValueType, coded: Coded): number {
  if (coded.kind === 'boolean') return coded.value ? 1 : 0;
  if ((type.kind === 'enum' || type.kind === 'flags') && coded.kind === 'integer') return Number(coded.value);
  const physical = toPhysical(type, coded);
  if (physical.kind === 'number') return toDouble(physical.value);
  if (physical.kind === 'special') return specialNumbers.get(physical.name) ?? Number.NaN;
  throw new RigMistake(`${typeName(type)} is no number`);
}

/** The decoded value; the default of its type should the octets not fit it. */
export function decoded(type: ValueType, bytes: Bytes): Coded {
  const result = decode(type, bytes);
  return result.ok ? result.value : defaultCoded(type);
}

const specialNumbers = new Map([
  ['+INFINITY', Number.POSITIVE_INFINITY],
  ['-INFINITY', Number.NEGATIVE_INFINITY],
]);

function truth(value: RigValue, type: ValueType): boolean {
  if (typeof value === 'boolean') return value;
  return typeof value === 'number' ? value !== 0 : misfit(type, value);
}

function integerCode(type: IntegerType, value: RigValue): bigint {
  if (typeof value === 'string') {
    const special = type.special.find(({ name }) => name === value);
    if (special !== undefined) return special.code;
    return codeOf(type, parsed(type, value));
  }
  const number = typeof value === 'boolean' ? Number(value) : typeof value === 'number' ? value : misfit(type, value);
  if (!Number.isFinite(number)) {
    // "No value" is what a special code is for; without one the world has reckoned wrongly.
    return type.special[0]?.code ?? fail(`${number} for a ${typeName(type)} that has no special code`);
  }
  return codeOf(type, held(physicalFromDouble(type, number), type.range));
}

function codeOf(type: IntegerType, physical: Physical): bigint {
  const result = toCoded(type, physical);
  if (!result.ok) return fail(result.refusal.message);
  const { coded } = result.value;
  if (coded.kind !== 'integer') return fail(`no code for a ${typeName(type)}`);
  if (physical.kind !== 'number') return coded.value;
  // A bound that lies between two codes rounds outward; the codes inside are what the contract allows.
  const { min, max } = codedRange(type);
  return coded.value < min ? min : coded.value > max ? max : coded.value;
}

function floatCode(type: FloatType, value: RigValue): Coded {
  const physical =
    typeof value === 'string'
      ? parsed(type, value)
      : typeof value === 'number'
        ? held(physicalFromDouble(type, value), type.range)
        : misfit(type, value);
  const result = toCoded(type, physical);
  return result.ok ? result.value.coded : fail(result.refusal.message);
}

function held(physical: Physical, range: PhysicalRange | undefined): Physical {
  if (physical.kind !== 'number' || range === undefined) return physical;
  if (compare(physical.value, range.min) < 0) return { kind: 'number', value: range.min };
  return compare(physical.value, range.max) > 0 ? { kind: 'number', value: range.max } : physical;
}

function parsed(type: ValueType, text: string): Physical {
  const result = parsePhysical(type, text);
  return result.ok ? result.value : fail(result.refusal.message);
}

function fitText(type: TextType, text: string): string {
  if (type.encoding === 'utf16') {
    const cut = text.slice(0, Math.floor(type.maxLength / 2));
    // Half a surrogate pair at the cut is no character.
    const whole = /[\ud800-\udbff]$/.test(cut) ? cut.slice(0, -1) : cut;
    return whole.padEnd(Math.ceil(type.minLength / 2), ' ');
  }
  const cut = truncateUtf8(encodeUtf8(text), type.maxLength);
  const result = decodeUtf8(cut);
  const whole = result.ok ? result.text : '';
  return whole + ' '.repeat(Math.max(0, type.minLength - cut.length));
}

function octets(value: RigValue, type: ValueType, min: number, max: number): Bytes {
  const list: readonly RigValue[] = Array.isArray(value) ? value : misfit(type, value);
  const kept = list.slice(0, max).map((item) => (typeof item === 'number' ? item & 0xff : misfit(type, item)));
  return Uint8Array.from({ length: Math.max(min, kept.length) }, (_, i) => kept[i] ?? 0);
}

function enumCode(type: EnumType, value: RigValue): bigint {
  const entry = type.names.find(({ code, name }) =>
    typeof value === 'number' ? Number(code) === value : name === value,
  );
  return entry?.code ?? fail(`the enum has no ${shown(value)}`);
}

function flagsCode(type: FlagsType, value: RigValue): bigint {
  const named = type.names.reduce((mask, { bit }) => mask | (1n << BigInt(bit)), 0n);
  if (typeof value === 'number') {
    return Number.isSafeInteger(value) && value >= 0 ? BigInt(value) & named : misfit(type, value);
  }
  const words: readonly RigValue[] = Array.isArray(value)
    ? value
    : isRecord(value)
      ? Object.keys(value).filter((name) => truth(value[name] ?? false, type))
      : misfit(type, value);
  return words.reduce<bigint>((mask, word) => {
    const flag = type.names.find(({ name }) => name === word) ?? fail(`the flags have no ${shown(word)}`);
    return mask | (1n << BigInt(flag.bit));
  }, 0n);
}

function isRecord(value: RigValue): value is { readonly [field: string]: RigValue } {
  return typeof value === 'object' && !Array.isArray(value);
}

function misfit(type: ValueType, value: RigValue): never {
  return fail(`${shown(value)} does not fit ${typeName(type)}`);
}

function shown(value: RigValue): string {
  return typeof value === 'object' ? (Array.isArray(value) ? 'a list' : 'an object') : JSON.stringify(value);
}

function fail(message: string): never {
  throw new RigMistake(message);
}
