import type { ValueDefinition } from '../../table/model.ts';
import type { ValueType } from '../../values/type.ts';

/** A value, or a part of one that is a value by itself: `calibration.gain`, `samples[]`. */
export type ValuePart = { readonly id: string; readonly label: string; readonly type: ValueType };

/** The value's own type and all within it, outermost first. */
export function partsOf({ id, label, type }: ValueDefinition): readonly ValuePart[] {
  return within({ id, label, type });
}

function within(part: ValuePart): readonly ValuePart[] {
  const { id, label, type } = part;
  if (type.kind === 'array') return [part, ...within({ id: `${id}[]`, label, type: type.element })];
  if (type.kind !== 'struct') return [part];
  return [part, ...type.fields.flatMap((field) => within({ ...field, id: `${id}.${field.id}` }))];
}
