import { bug } from '../../base/bug.ts';
import { lengthRange, packedBits, packStruct } from '../../values/packing.ts';
import type { EnumType, FlagsType, ValueType } from '../../values/type.ts';
import { smallest, type CInteger } from './literal.ts';
import { snake, upper, type Names } from './names.ts';

/** What a value is in C. */
export type Shape =
  /** Integers to 64 bits, and the bits of floating-point formats. */
  | { readonly kind: 'number'; readonly type: CInteger; readonly octets: number }
  | { readonly kind: 'boolean' }
  | {
      readonly kind: 'enum';
      readonly tag: string;
      readonly type: CInteger;
      readonly octets: number;
      readonly of: EnumType;
    }
  | { readonly kind: 'flags'; readonly type: CInteger; readonly octets: number; readonly of: FlagsType }
  /** Texts, octets, and integers of more than 64 bits (least significant octet first). */
  | { readonly kind: 'octets'; readonly element: 'char' | 'uint8_t'; readonly min: number; readonly max: number }
  | { readonly kind: 'struct'; readonly tag: string; readonly fields: readonly ShapeField[]; readonly octets: number }
  | {
      readonly kind: 'array';
      readonly element: Shape;
      readonly elementOctets: number;
      readonly min: number;
      readonly max: number;
    };

export type ShapeField = {
  readonly name: string;
  readonly label: string;
  readonly type: ValueType;
  readonly shape: Shape;
  /** From the least significant bit of the struct's first octet. */
  readonly bitOffset: number;
  /** Set for a field that fills no whole octets. */
  readonly bits: number | undefined;
};

/**
 * The shape of a type.
 *
 * @param tag wished for a struct or an enum: `tank_calibration`; parts of it get its name and theirs
 */
export function shapeOf(type: ValueType, tag: string, tags: Names): Shape {
  switch (type.kind) {
    case 'boolean':
      return { kind: 'boolean' };
    case 'integer':
      if (type.bits > 64) return { kind: 'octets', element: 'uint8_t', min: type.bits / 8, max: type.bits / 8 };
      return { kind: 'number', type: smallest(type.bits, type.signed), octets: Math.ceil(type.bits / 8) };
    case 'float': {
      const octets = lengthRange(type).max;
      return { kind: 'number', type: smallest(8 * octets, false), octets };
    }
    case 'enum':
      return { kind: 'enum', tag: tags.unique(tag), type: smallest(type.bits, false), octets: type.bits / 8, of: type };
    case 'flags':
      return { kind: 'flags', type: smallest(type.bits, false), octets: type.bits / 8, of: type };
    case 'text':
      return {
        kind: 'octets',
        element: type.encoding === 'utf8' ? 'char' : 'uint8_t',
        min: type.minLength,
        max: type.maxLength,
      };
    case 'bytes':
      return { kind: 'octets', element: 'uint8_t', min: type.minLength, max: type.maxLength };
    case 'struct': {
      const own = tags.unique(tag);
      return {
        kind: 'struct',
        tag: own,
        octets: lengthRange(type).max,
        fields: packStruct(type).fields.map(({ field, bitOffset }) => ({
          name: snake(field.id),
          label: field.label,
          type: field.type,
          shape: shapeOf(field.type, `${own}_${field.id.replaceAll('-', '_')}`, tags),
          bitOffset,
          bits: packedBits(field.type),
        })),
      };
    }
    case 'array':
      return {
        kind: 'array',
        element: shapeOf(type.element, `${tag}_item`, tags),
        elementOctets: lengthRange(type.element).max,
        min: type.minCount,
        max: type.maxCount,
      };
  }
}

/** C type of one thing of this shape; for octets and arrays that of their elements. */
export function typeText(shape: Shape): string {
  switch (shape.kind) {
    case 'boolean':
      return 'bool';
    case 'number':
    case 'flags':
      return integerText(shape.type);
    case 'enum':
      return codesFit(shape.of) ? `enum ${shape.tag}` : integerText(shape.type);
    case 'octets':
      return shape.element;
    case 'struct':
      return `struct ${shape.tag}`;
    case 'array':
      return typeText(shape.element);
  }
}

function integerText({ signed, bits }: CInteger): string {
  return `${signed ? '' : 'u'}int${bits}_t`;
}

/** Whether every code fits an `int`, as C99 wants of an enumerator. */
export function codesFit(type: EnumType): boolean {
  return type.names.every(({ code }) => code <= 0x7fff_ffffn);
}

/** Whether shapes of it have a length or count beside their elements. */
export function varies(shape: Shape): boolean {
  return (shape.kind === 'octets' || shape.kind === 'array') && shape.min !== shape.max;
}

/** `uint16_t gain;`, or two members where the length varies. Nothing for an array that has never an element. */
export function memberText({ name, shape }: Pick<ShapeField, 'name' | 'shape'>): readonly string[] {
  if (shape.kind !== 'octets' && shape.kind !== 'array') return [`${typeText(shape)} ${name};`];
  if (shape.max === 0) return [];
  const sizes = dimensions(shape);
  const length = shape.kind === 'octets' ? 'length' : 'count';
  const count = varies(shape) ? [`uint16_t ${name}_${length};`] : [];
  return [...count, `${typeText(shape)} ${name}${sizes};`];
}

/** `[12]`, `[4][8]` for an array of arrays. */
export function dimensions(shape: Shape): string {
  if (shape.kind !== 'octets' && shape.kind !== 'array') return '';
  return `[${shape.max}]${shape.kind === 'array' ? dimensions(shape.element) : ''}`;
}

/** Enums and structs within a shape, those first that others need. */
export function partsOf(shape: Shape): readonly Extract<Shape, { kind: 'enum' | 'struct' | 'flags' }>[] {
  switch (shape.kind) {
    case 'enum':
    case 'flags':
      return [shape];
    case 'struct':
      return [...shape.fields.flatMap((field) => partsOf(field.shape)), shape];
    case 'array':
      return partsOf(shape.element);
    default:
      return [];
  }
}

/** `TANK_DYE_NONE` for each name of an enum. */
export function enumerators(
  type: EnumType,
  prefix: string,
  macros: Names,
): { name: string; code: bigint; about: string }[] {
  return type.names.map(({ code, name }) => ({
    name: macros.unique(`${prefix}_${upper(name) ?? `CODE_${code}`}`),
    code,
    about: name,
  }));
}

/** `TANK_ALARMS_FROST` for each flag. */
export function masks(type: FlagsType, prefix: string, macros: Names): { name: string; bit: number; about: string }[] {
  return type.names.map(({ bit, name }) => {
    bug(bit < 32, 'flags have at most 32 bits');
    return { name: macros.unique(`${prefix}_${upper(name) ?? `BIT_${bit}`}`), bit, about: name };
  });
}
