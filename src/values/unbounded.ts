import { fullPhysicalRange } from './scale.ts';
import type { ValueType } from './type.ts';

/** Octets an attribute value may have, Core Vol 3 Part F 3.2.9. */
const longestValue = 512;

/**
 * The same type without the contract's bounds: all that its coding can carry. For whoever wants to send a board what
 * the board has to refuse.
 */
export function unbounded(type: ValueType): ValueType {
  return widen(type, true);
}

/** @param stretch whether the length may change: within an array it may not, or its elements could not be told apart */
function widen(type: ValueType, stretch: boolean): ValueType {
  switch (type.kind) {
    case 'integer':
      return { ...type, range: fullPhysicalRange(type.bits, type.signed, type.scale), bounded: false };
    case 'float':
      return { ...type, range: undefined };
    case 'text':
    case 'bytes':
      return stretch ? { ...type, minLength: 0, maxLength: longestValue } : type;
    case 'struct':
      return {
        ...type,
        fields: type.fields.map((field, index) => ({
          ...field,
          type: widen(field.type, stretch && index === type.fields.length - 1),
        })),
      };
    case 'array':
      return { ...type, element: widen(type.element, false) };
    case 'boolean':
    case 'enum':
    case 'flags':
      return type;
  }
}
