import type { StructField, ValueType } from '../../values/type.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { count } from './words.ts';

export const structPaddedInC = shapeRule<{ name: string; octets: number; before: string; order: string }>(
  {
    code: 'struct-padded-in-c',
    severity: 'note',
    title: 'Fields that a C compiler would move',
    why: 'Whoever copies a C struct into the value sends the padding along: every field behind it is then read from the wrong place.',
    source: 'C99 section 6.7.2.1; common practice',
    bad: characteristics(`
id: sample
label: Sample
type:
  struct:
    - { id: channel, type: uint8 }
    - { id: level, type: sint32 }
access: [read]`),
    good: characteristics(`
id: sample
label: Sample
type:
  struct:
    - { id: level, type: sint32 }
    - { id: channel, type: uint8 }
access: [read]`),
    message: ({ name, octets, before }) =>
      `a C struct has ${count(octets, 'octet')} of padding before \`${before}\`, the value \`${name}\` has none`,
    hint: ({ order }) => `put the widest fields first (${order}), or copy field by field as the generated code does`,
  },
  (shape, report) => {
    if (shape.type.kind !== 'struct') return;
    let offset = 0;
    for (const field of shape.type.fields) {
      const layout = cLayout(field.type);
      // Packed bits and variable lengths have no counterpart in C.
      if (layout === undefined) return;
      const padding = (layout.align - (offset % layout.align)) % layout.align;
      if (padding > 0) {
        const order = widestFirst(shape.type.fields);
        report(shapePlace(shape, 'type'), { name: shape.name, octets: padding, before: field.id, order });
        return;
      }
      offset += layout.size;
    }
  },
);

type CLayout = { readonly size: number; readonly align: number };

/** Size and alignment of what the field is in C on a 32-bit processor; 24-bit and odd widths are octet arrays there. */
function cLayout(type: ValueType): CLayout | undefined {
  const scalar = (bits: number): CLayout => ({ size: bits / 8, align: [16, 32, 64].includes(bits) ? bits / 8 : 1 });
  switch (type.kind) {
    case 'boolean':
      return { size: 1, align: 1 };
    case 'integer':
      return type.bits % 8 === 0 ? scalar(type.bits) : undefined;
    case 'enum':
    case 'flags':
      return scalar(type.bits);
    case 'float':
      return scalar({ medfloat16: 16, medfloat32: 32, float32: 32, float64: 64 }[type.format]);
    case 'text':
    case 'bytes':
      return type.minLength === type.maxLength ? { size: type.maxLength, align: 1 } : undefined;
    case 'array': {
      const element = cLayout(type.element);
      if (element === undefined || type.minCount !== type.maxCount) return undefined;
      return { size: element.size * type.maxCount, align: element.align };
    }
    case 'struct': {
      const fields = type.fields.map((field) => cLayout(field.type));
      let size = 0;
      let align = 1;
      for (const field of fields) {
        if (field === undefined) return undefined;
        size += field.size;
        align = Math.max(align, field.align);
      }
      return { size, align };
    }
  }
}

function widestFirst(fields: readonly StructField[]): string {
  const align = (field: StructField): number => cLayout(field.type)?.align ?? 0;
  return [...fields]
    .sort((a, b) => align(b) - align(a))
    .map((field) => field.id)
    .join(', ');
}
