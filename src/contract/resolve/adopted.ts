import { compare, equal } from '../../base/rational.ts';
import { unitByCode } from '../../numbers/units.ts';
import { scaleFactor } from '../../values/physical.ts';
import { exactNumber, showRange } from '../../values/show-number.ts';
import { typeName } from '../../values/show.ts';
import type { IntegerType, PhysicalRange, ValueType } from '../../values/type.ts';
import type { Where } from '../model.ts';
import type { Report } from '../shapes/shape.ts';
import { adoptedFormat } from './findings.ts';

type Departure = { readonly key: string; readonly found: string; readonly standard: string };

/**
 * Reports where a type leaves the standard's format. A narrower range, fewer octets or a `step` are no departure: they
 * say what of the format is used.
 */
export function checkAdopted(
  type: ValueType,
  standard: ValueType,
  adopted: string,
  where: Where,
  report: Report,
): void {
  for (const { key, found, standard: wanted } of departures(type, standard)) {
    const at = where.keys.get(key)?.value ?? where.keys.get('adopted')?.value ?? where.self;
    report(adoptedFormat.at(at, { key, found, adopted, standard: wanted }));
  }
}

function departures(type: ValueType, standard: ValueType): readonly Departure[] {
  if (!sameCoding(type, standard)) {
    return [{ key: 'type', found: typeName(type), standard: typeName(standard) }];
  }
  const found: Departure[] = [];
  if (type.kind === 'integer' && standard.kind === 'integer') {
    if (!equal(scaleFactor(type.scale), scaleFactor(standard.scale))) {
      found.push({
        key: 'scale',
        found: exactNumber(scaleFactor(type.scale)),
        standard: exactNumber(scaleFactor(standard.scale)),
      });
    }
    if (!sameSpecials(type, standard)) {
      found.push({ key: 'special', found: showSpecials(type), standard: showSpecials(standard) });
    }
  }
  if (
    (type.kind === 'integer' || type.kind === 'float') &&
    (standard.kind === 'integer' || standard.kind === 'float')
  ) {
    if (type.unit !== standard.unit) {
      found.push({ key: 'unit', found: unitName(type.unit), standard: unitName(standard.unit) });
    }
    if (type.range !== undefined && standard.range !== undefined && !isWithin(type.range, standard.range)) {
      found.push({
        key: 'range',
        found: showRange(type.range, type.unit),
        standard: showRange(standard.range, standard.unit),
      });
    }
  }
  if ((type.kind === 'text' || type.kind === 'bytes') && (standard.kind === 'text' || standard.kind === 'bytes')) {
    if (type.minLength < standard.minLength || type.maxLength > standard.maxLength) {
      const octets = (of: typeof type): string => `${of.minLength} to ${of.maxLength} octets`;
      found.push({ key: 'length', found: octets(type), standard: octets(standard) });
    }
  }
  return found;
}

/** Whether both types have the same octets; scale, unit, range and names aside, but for parts of structs and arrays. */
function sameCoding(a: ValueType, b: ValueType): boolean {
  switch (a.kind) {
    case 'boolean':
      return b.kind === 'boolean';
    case 'integer':
      return b.kind === 'integer' && a.bits === b.bits && a.signed === b.signed;
    case 'float':
      return b.kind === 'float' && a.format === b.format;
    case 'text':
      return b.kind === 'text' && a.encoding === b.encoding;
    case 'bytes':
      return b.kind === 'bytes';
    case 'enum':
      return (
        b.kind === 'enum' &&
        a.bits === b.bits &&
        a.names.every(({ code }) => b.names.some((name) => name.code === code))
      );
    case 'flags':
      return (
        b.kind === 'flags' && a.bits === b.bits && a.names.every(({ bit }) => b.names.some((name) => name.bit === bit))
      );
    case 'struct':
      return (
        b.kind === 'struct' &&
        a.fields.length === b.fields.length &&
        a.fields.every(({ type }, i) => b.fields[i] !== undefined && departures(type, b.fields[i].type).length === 0)
      );
    case 'array':
      return (
        b.kind === 'array' &&
        a.minCount >= b.minCount &&
        a.maxCount <= b.maxCount &&
        departures(a.element, b.element).length === 0
      );
  }
}

function isWithin(inner: PhysicalRange, outer: PhysicalRange): boolean {
  return compare(inner.min, outer.min) >= 0 && compare(inner.max, outer.max) <= 0;
}

function sameSpecials(a: IntegerType, b: IntegerType): boolean {
  return a.special.length === b.special.length && a.special.every(({ code }) => b.special.some((s) => s.code === code));
}

function showSpecials(type: IntegerType): string {
  const shown = type.special.map(({ code, name }) => `${code} ${name}`);
  return shown.length === 0 ? 'none' : shown.join(', ');
}

function unitName(code: number): string {
  return unitByCode(code)?.name ?? `0x${code.toString(16).toUpperCase()}`;
}
