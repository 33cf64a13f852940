import { lengthRange, packedBits, packStruct } from './packing.ts';
import type { ValueType } from './type.ts';

/** One undivided piece of an encoded value. */
export type LayoutField = {
  /** `gain`, `[3]`, `points[2].x`; empty when the value is one piece. */
  readonly path: string;
  /** Labels from the outside in, joined by ` · `; items of an array count from 1. Empty when the value is one piece. */
  readonly label: string;
  /** From the least significant bit of the first octet. */
  readonly bitOffset: number;
  /** Bits the piece takes; the least for one that varies in length. */
  readonly bitLength: number;
  /** True when the length varies: a text, octets, or an array without a fixed count. Only the last piece can. */
  readonly variable: boolean;
  readonly type: ValueType;
};

/**
 * The pieces of a value in the order of their octets. Structs are opened, and arrays of a fixed count; an array of
 * varying count is one piece, whose items `layoutOf(type.element)` describes. Bits between the pieces are padding.
 */
export function layoutOf(type: ValueType): readonly LayoutField[] {
  const fields: LayoutField[] = [];
  place(type, { path: '', label: '', bitOffset: 0 }, fields);
  return fields;
}

type Place = { readonly path: string; readonly label: string; readonly bitOffset: number };

function place(type: ValueType, at: Place, fields: LayoutField[]): void {
  if (type.kind === 'struct') {
    for (const { field, bitOffset } of packStruct(type).fields) {
      place(
        field.type,
        {
          path: at.path === '' ? field.id : `${at.path}.${field.id}`,
          label: joined(at.label, field.label),
          bitOffset: at.bitOffset + bitOffset,
        },
        fields,
      );
    }
    return;
  }
  const { min, max } = lengthRange(type);
  if (type.kind === 'array' && min === max) {
    for (let i = 0; i < type.maxCount; i++) {
      const bitOffset = at.bitOffset + i * 8 * lengthRange(type.element).max;
      place(type.element, { path: `${at.path}[${i}]`, label: joined(at.label, String(i + 1)), bitOffset }, fields);
    }
    return;
  }
  fields.push({ ...at, bitLength: packedBits(type) ?? 8 * min, variable: min !== max, type });
}

function joined(outer: string, inner: string): string {
  return outer === '' ? inner : `${outer} · ${inner}`;
}
