import { equal, type Rational } from '../../base/rational.ts';
import type { Bytes } from '../../base/bytes.ts';
import { decode } from '../../values/codec.ts';
import { toPhysical } from '../../values/physical.ts';
import { exactNumber } from '../../values/show-number.ts';
import type { Physical, ValueType } from '../../values/type.ts';
import { nearestToZero } from './holding.ts';

/** The physical value of octets; `undefined` when they do not fit the type. */
export function physicalOf(type: ValueType, raw: Bytes): Physical | undefined {
  const coded = decode(type, raw);
  return coded.ok ? toPhysical(type, coded.value) : undefined;
}

/**
 * True for a value at which an actuator does nothing, as far as the type can tell: zero (or the allowed value nearest to
 * it), off, the first name, no flags, nothing at all.
 */
export function isAtRest(type: ValueType, value: Physical): boolean {
  switch (value.kind) {
    case 'boolean':
      return !value.value;
    case 'number':
      return equal(value.value, restOf(type));
    case 'choice':
      return type.kind === 'enum' && type.names[0]?.code === value.code;
    case 'flags':
      return value.set.length === 0 && value.unnamed === 0n;
    case 'text':
    case 'bytes':
      return value.value.length === 0 || (typeof value.value !== 'string' && value.value.every((octet) => octet === 0));
    case 'record':
      return type.kind === 'struct' && value.fields.every((field, i) => restsIn(type.fields[i]?.type, field.value));
    case 'list':
      return type.kind === 'array' && value.items.every((item) => isAtRest(type.element, item));
    case 'special':
      return false;
  }
}

function restsIn(type: ValueType | undefined, value: Physical): boolean {
  return type !== undefined && isAtRest(type, value);
}

/** The value at rest as a contract writes it; `undefined` for types of which nothing is known. */
export function restText(type: ValueType): string | undefined {
  switch (type.kind) {
    case 'boolean':
      return 'false';
    case 'integer':
    case 'float':
      return exactNumber(restOf(type));
    case 'enum':
      return type.names[0] === undefined ? undefined : JSON.stringify(type.names[0].name);
    default:
      return undefined;
  }
}

const none: Rational = { num: 0n, den: 1n };

function restOf(type: ValueType): Rational {
  return (type.kind === 'integer' || type.kind === 'float') && type.range !== undefined
    ? nearestToZero(type.range)
    : none;
}
