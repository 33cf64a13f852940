import type { SourceRange } from '../../base/text-range.ts';
import type { ValueType } from '../../values/type.ts';
import { placeOf, type Characteristic, type Where } from '../model.ts';

/** A value or a part of one: the characteristic's type, a field of a struct, the element of an array. */
export type Shape = {
  readonly type: ValueType;
  /** `paddle`, `calibration.gain`, `samples[]`: for messages. */
  readonly name: string;
  /** The label a person reads beside it; an array's element has the array's. */
  readonly label: string;
  readonly characteristic: Characteristic;
  /** The keys of the entity that gives the shape. */
  readonly where: Where;
  /** An array's element: its `type` key belongs to the array. */
  readonly isElement: boolean;
};

/** The characteristic's own shape and all within it, outermost first, in the order of the text. */
export function shapesOf(characteristic: Characteristic): readonly Shape[] {
  const shapes: Shape[] = [];
  const unsaid: Where = { self: placeOf(characteristic.where, 'type'), keys: new Map() };
  const visit = (
    type: ValueType,
    name: string,
    label: string,
    path: string,
    where: Where,
    isElement: boolean,
  ): void => {
    shapes.push({ type, name, label, characteristic, where, isElement });
    if (type.kind === 'array') visit(type.element, `${name}[]`, label, path, where, true);
    if (type.kind !== 'struct') return;
    for (const field of type.fields) {
      const inner = path === '' ? field.id : `${path}.${field.id}`;
      visit(
        field.type,
        `${name}.${field.id}`,
        field.label,
        inner,
        characteristic.fieldPlaces?.get(inner) ?? unsaid,
        false,
      );
    }
  };
  visit(characteristic.type, characteristic.id, characteristic.label, '', characteristic.where, false);
  return shapes;
}

/** The place of the key, or of the type when the key was left to its default. */
export function shapePlace(shape: Shape, key: string): SourceRange {
  const { where } = shape;
  return where.keys.has(key) ? placeOf(where, key) : placeOf(where, where.keys.has('adopted') ? 'adopted' : 'type');
}
