import { toHex, type Bytes } from '../base/bytes.ts';
import type { Rational } from '../base/rational.ts';
import { unitSymbol } from '../numbers/units.ts';
import { decode } from './codec.ts';
import { floatDigits } from './float-coding.ts';
import { medfloatDigits } from './medfloat.ts';
import { toPhysical } from './physical.ts';
import { refusalText } from './refusal.ts';
import { exactNumber, readableNumber, withUnit } from './show-number.ts';
import type { Coded, FlagsType, Physical, UnitCode, ValueType } from './type.ts';

/** `read`: for a person, with units. `type`: what a person types, read back exactly by `parsePhysical`. */
type Style = { readonly for: 'read' | 'type'; readonly units: boolean; readonly nested: boolean };

/**
 * A physical value in words: `0.5 Hz`, `fluorescein`, `gain 1, offset 0 m, points 2`, `[1, 2, 3] V`, `"a text"`. A number
 * of more than 15 digits is rounded, with a leading `≈`.
 *
 * With `unit: false` it is what a person types: no units, all digits, a text as it is; `parsePhysical` reads that back.
 */
export function showPhysical(type: ValueType, physical: Physical, options: { readonly unit?: boolean } = {}): string {
  const read = options.unit ?? true;
  return show(type, physical, { for: read ? 'read' : 'type', units: read, nested: false });
}

/** As {@link showPhysical} with units, but a medical float keeps the digits it was coded with: `2.00 °C`. */
export function showCoded(type: ValueType, coded: Coded): string {
  return show(type, toPhysical(type, coded), { for: 'read', units: true, nested: false }, coded);
}

/** What octets mean; for octets that are no value of the type the hex digits and why: `0102ff (3 octets instead of 2)`. */
export function showBytes(type: ValueType, bytes: Bytes): string {
  const decoded = decode(type, bytes);
  if (decoded.ok) return showCoded(type, decoded.value);
  const hex = bytes.length === 0 ? 'no octets' : toHex(bytes);
  return `${hex} (${refusalText(decoded.refusal)})`;
}

/** The type in a few words: `uint16`, `enum uint8`, `struct of 3`, `array of 8 sint16`, `array of 0 to 8 uint8`. */
export function typeName(type: ValueType): string {
  switch (type.kind) {
    case 'boolean':
    case 'bytes':
      return type.kind;
    case 'integer':
      return `${type.signed ? 'sint' : 'uint'}${type.bits}`;
    case 'float':
      return type.format;
    case 'text':
      return type.encoding;
    case 'enum':
    case 'flags':
      return `${type.kind} uint${type.bits}`;
    case 'struct':
      return `struct of ${type.fields.length}`;
    case 'array': {
      const count = type.minCount === type.maxCount ? `${type.maxCount}` : `${type.minCount} to ${type.maxCount}`;
      return `array of ${count} ${typeName(type.element)}`;
    }
  }
}

/** @param coded where the physical value came from, if that is known */
function show(type: ValueType, physical: Physical, style: Style, coded?: Coded): string {
  switch (physical.kind) {
    case 'number':
      return showNumber(type, numberDigits(type, physical.value, style, coded), style);
    case 'special':
      return atom(physical.name, style);
    case 'boolean':
      return physical.value ? 'true' : 'false';
    case 'text':
      return style.nested || style.for === 'read' ? JSON.stringify(physical.value) : physical.value;
    case 'bytes':
      return showOctets(physical.value, style);
    case 'choice':
      if (physical.name !== undefined) return atom(physical.name, style);
      return style.for === 'read' ? `${physical.code} (no name)` : physical.code.toString();
    case 'flags':
      return showFlags(type, physical, style);
    case 'record':
      return showRecord(type, physical.fields, style, coded);
    case 'list':
      return showList(type, physical.items, style, coded);
  }
}

function numberDigits(type: ValueType, value: Rational, style: Style, coded: Coded | undefined): string {
  if (coded?.kind === 'medfloat' && coded.value.kind === 'number') return medfloatDigits(coded.value);
  if (type.kind === 'float') return floatDigits(type.format, value);
  return style.for === 'read' ? readableNumber(value) : exactNumber(value);
}

function showNumber(type: ValueType, digits: string, style: Style): string {
  const unit: UnitCode | undefined = type.kind === 'integer' || type.kind === 'float' ? type.unit : undefined;
  return style.units && unit !== undefined ? withUnit(digits, unit) : digits;
}

function showOctets(octets: Bytes, style: Style): string {
  if (octets.length > 0) return toHex(octets, style.for === 'read' ? ' ' : '');
  return style.for === 'read' ? 'no octets' : style.nested ? '""' : '';
}

function showFlags(type: ValueType, physical: Extract<Physical, { kind: 'flags' }>, style: Style): string {
  const parts = physical.set.map((name) => atom(name, { ...style, nested: true }));
  for (let bit = 0; physical.unnamed >> BigInt(bit) > 0n; bit++) {
    if (((physical.unnamed >> BigInt(bit)) & 1n) === 1n) parts.push(`bit ${bit}`);
  }
  if (parts.length === 0) return noFlags(type);
  return parts.length > 1 && style.nested ? `(${parts.join(', ')})` : parts.join(', ');
}

/** `none`, unless a flag has that name. */
function noFlags(type: ValueType): string {
  const taken = (type as Partial<FlagsType>).names?.some((entry) => entry.name === 'none');
  return taken === true ? '0' : 'none';
}

function showRecord(
  type: ValueType,
  fields: readonly { readonly id: string; readonly value: Physical }[],
  style: Style,
  coded: Coded | undefined,
): string {
  const parts = fields.map(({ id, value }, i) => {
    const field = type.kind === 'struct' ? type.fields.find((entry) => entry.id === id) : undefined;
    const part = coded?.kind === 'struct' ? coded.fields[i] : undefined;
    return `${id} ${show(field?.type ?? type, value, { ...style, nested: true }, part)}`;
  });
  return style.nested ? `(${parts.join(', ')})` : parts.join(', ');
}

function showList(type: ValueType, items: readonly Physical[], style: Style, coded: Coded | undefined): string {
  const element = type.kind === 'array' ? type.element : type;
  const numbers = element.kind === 'integer' || element.kind === 'float';
  const itemStyle: Style = { ...style, nested: true, units: style.units && !numbers };
  const parts = coded?.kind === 'array' ? coded.items : [];
  const list = `[${items.map((item, i) => show(element, item, itemStyle, parts[i])).join(', ')}]`;
  return numbers && style.units && unitSymbol(element.unit) !== '' ? withUnit(list, element.unit) : list;
}

/** A name; among others in quotes when it holds a character that separates, or begins with one that a field's value may. */
function atom(name: string, style: Style): string {
  const plain = name !== '' && name === name.trim() && !/^[=:]|[,()[\]"]/.test(name);
  return style.nested && style.for === 'type' && !plain ? JSON.stringify(name) : name;
}
