import type { ValueType } from '../../values/type.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { count } from './words.ts';

export const structUnusedBits = shapeRule<{ name: string; bits: number; before: string }>(
  {
    code: 'struct-unused-bits',
    severity: 'note',
    title: 'Bits left unused between fields',
    why: 'A field of 2, 4 or 12 bits that shares its last octet with nothing leaves bits that are always 0; a field placed there later changes the format.',
    source: 'GATT Specification Supplement section 2; contract language',
    bad: characteristics(`
id: probe
label: Probe
type:
  struct:
    - { id: gain, type: uint4 }
    - { id: count, type: uint16 }
access: [read]`),
    good: characteristics(`
id: probe
label: Probe
type:
  struct:
    - { id: gain, type: uint4 }
    - { id: channel, type: uint4 }
    - { id: count, type: uint16 }
access: [read]`),
    message: ({ name, bits, before }) => `${count(bits, 'bit')} of \`${name}\` before \`${before}\` belong to no field`,
    hint: ({ before }) =>
      `put the narrow fields next to each other so that they fill whole octets before \`${before}\``,
  },
  (shape, report) => {
    if (shape.type.kind !== 'struct') return;
    let open = 0;
    for (const field of shape.type.fields) {
      const bits = narrowBits(field.type);
      if (bits === undefined && open % 8 !== 0) {
        report(shapePlace(shape, 'type'), { name: shape.name, bits: 8 - (open % 8), before: field.id });
      }
      open = bits === undefined ? 0 : open + bits;
    }
  },
);

/** Bits of a field that may share an octet; `undefined` for one that begins on an octet. */
function narrowBits(type: ValueType): number | undefined {
  return type.kind === 'integer' && type.bits % 8 !== 0 ? type.bits : undefined;
}
