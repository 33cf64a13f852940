import { adoptedByUuid, type AdoptedCharacteristic } from '../../numbers/adopted.ts';
import type { Characteristic } from '../model.ts';
import type { ValueType } from '../../values/type.ts';

/**
 * True when both types code every value into the same octets with the same meaning. Labels, ranges, steps and the names
 * of codes may differ: they say what is used, not how it is coded.
 */
export function sameFormat(a: ValueType, b: ValueType): boolean {
  switch (a.kind) {
    case 'boolean':
      return b.kind === 'boolean';
    case 'integer':
      return (
        b.kind === 'integer' &&
        a.bits === b.bits &&
        a.signed === b.signed &&
        a.unit === b.unit &&
        a.scale.multiplier === b.scale.multiplier &&
        a.scale.decimal === b.scale.decimal &&
        a.scale.binary === b.scale.binary
      );
    case 'float':
      return b.kind === 'float' && a.format === b.format && a.unit === b.unit;
    case 'text':
      return b.kind === 'text' && a.encoding === b.encoding;
    case 'bytes':
      return b.kind === 'bytes';
    case 'enum':
    case 'flags':
      return b.kind === a.kind && a.bits === b.bits;
    case 'struct':
      return (
        b.kind === 'struct' &&
        a.fields.length === b.fields.length &&
        a.fields.every((field, i) => b.fields[i] !== undefined && sameFormat(field.type, b.fields[i].type))
      );
    case 'array':
      return b.kind === 'array' && sameFormat(a.element, b.element);
  }
}

/** The adopted characteristic whose UUID is used with another format; `undefined` when all is well or nothing is known. */
export function unlikeStandard(characteristic: Characteristic): AdoptedCharacteristic | undefined {
  if (characteristic.adopted !== undefined) return undefined;
  const standard = adoptedByUuid(characteristic.uuid);
  return standard === undefined || sameFormat(standard.type, characteristic.type) ? undefined : standard;
}
