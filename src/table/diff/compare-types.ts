import { compare, equal, type Rational } from '../../base/rational.ts';
import { unitByCode } from '../../numbers/units.ts';
import { scaleFactor } from '../../values/scale.ts';
import { exactNumber, showRange } from '../../values/show-number.ts';
import { typeName } from '../../values/show.ts';
import type {
  ArrayType,
  EnumType,
  FlagsType,
  FloatType,
  IntegerType,
  PhysicalRange,
  StructType,
  UnitCode,
  ValueType,
} from '../../values/type.ts';
import type { Difference } from './change.ts';

/** What clients may do with the value in both tables. */
export type Use = {
  /** Read, notified or indicated. */
  readonly seen: boolean;
  readonly written: boolean;
};

/**
 * How two types differ to a client that codes and decodes by the old one. Where the coding differs nothing further is
 * compared.
 *
 * @param path the field or element, for the reason: empty, `gain`, `points[].x`
 */
export function compareTypes(old: ValueType, next: ValueType, use: Use, path = ''): readonly Difference[] {
  const whole = subject(path);
  if (old.kind !== next.kind || typeName(shell(old)) !== typeName(shell(next))) return [typeChanged(old, next, whole)];
  switch (old.kind) {
    case 'boolean':
      return [];
    case 'integer':
      return next.kind === 'integer' ? compareIntegers(old, next, use, whole) : [];
    case 'float':
      return next.kind === 'float' ? compareFloats(old, next, use, whole) : [];
    case 'text':
    case 'bytes': {
      if (next.kind !== old.kind) return [];
      const lengths = (type: typeof next): Bounds => ({ min: type.minLength, max: type.maxLength });
      return compareLengths(lengths(old), lengths(next), use, whole, 'octet', old.kind === 'bytes');
    }
    case 'enum':
      return next.kind === 'enum' ? compareNames(enumNames(old), enumNames(next), use, whole, 'code') : [];
    case 'flags':
      return next.kind === 'flags' ? compareNames(flagNames(old), flagNames(next), use, whole, 'bit') : [];
    case 'struct':
      return next.kind === 'struct' ? compareStructs(old, next, use, path) : [];
    case 'array':
      return next.kind === 'array' ? compareArrays(old, next, use, path) : [];
  }
}

/** A struct or array without its parts: those are compared one by one. */
function shell(type: ValueType): ValueType {
  if (type.kind === 'struct') return { kind: 'struct', fields: [] };
  if (type.kind === 'array') return { kind: 'array', element: { kind: 'boolean' }, minCount: 0, maxCount: 0 };
  return type;
}

function subject(path: string): string {
  return path === '' ? 'its' : `\`${path}\`: its`;
}

function typeChanged(old: ValueType, next: ValueType, whole: string): Difference {
  return {
    effect: 'breaks',
    kind: 'type-changed',
    reason: `${whole} type was ${typeName(old)} and is ${typeName(next)}`,
    client: 'it decodes other octets than the board means, and what it writes is refused or taken for something else',
    remedy: 'keep the old type, and give the new one a characteristic and UUID of its own',
  };
}

function compareIntegers(old: IntegerType, next: IntegerType, use: Use, whole: string): readonly Difference[] {
  const differences: Difference[] = [];
  const was = scaleFactor(old.scale);
  const is = scaleFactor(next.scale);
  if (!equal(was, is)) {
    differences.push({
      effect: 'breaks',
      kind: 'scale-changed',
      reason: `${whole} scale was ${exactNumber(was)} to one code and is ${exactNumber(is)}`,
      client: 'every number it shows or sets is wrong by the same factor',
      remedy: 'keep the old scale, and give the finer or wider value a characteristic and UUID of its own',
    });
  }
  differences.push(...compareUnits(old.unit, next.unit, whole));
  differences.push(...compareRanges(old.range, next.range, old.unit, use, whole));
  const specials = (type: IntegerType) => type.special.map(({ code, name }) => ({ key: code.toString(), name }));
  differences.push(...compareNames(specials(old), specials(next), { ...use, written: false }, whole, 'special code'));
  return differences;
}

function compareFloats(old: FloatType, next: FloatType, use: Use, whole: string): readonly Difference[] {
  return [...compareUnits(old.unit, next.unit, whole), ...compareRanges(old.range, next.range, old.unit, use, whole)];
}

function compareUnits(old: UnitCode, next: UnitCode, whole: string): readonly Difference[] {
  if (old === next) return [];
  const name = (code: UnitCode): string => unitByCode(code)?.name ?? `0x${code.toString(16)}`;
  return [
    {
      effect: 'breaks',
      kind: 'unit-changed',
      reason: `${whole} unit was ${name(old)} and is ${name(next)}`,
      client: 'it shows the new number with the old unit',
      remedy: 'keep the old unit, and give the value in the new one a characteristic and UUID of its own',
    },
  ];
}

/** `undefined`: without bounds. */
function compareRanges(
  old: PhysicalRange | undefined,
  next: PhysicalRange | undefined,
  unit: UnitCode,
  use: Use,
  whole: string,
): readonly Difference[] {
  const show = (range: PhysicalRange | undefined): string =>
    range === undefined ? 'without bounds' : showRange(range, unit);
  const reason = `${whole} range was ${show(old)} and is ${show(next)}`;
  const differences: Difference[] = [];
  if (leaves(old, next)) {
    differences.push(
      use.written
        ? {
            effect: 'breaks',
            kind: 'range-narrowed',
            reason,
            client: 'writes that were taken are refused',
            remedy: 'keep the old range, or tell everyone who has a client before the board changes',
          }
        : {
            effect: 'keeps-working',
            kind: 'range-narrowed',
            reason,
            client: 'it meets no value that it does not know',
            remedy: 'nothing need be done',
          },
    );
  }
  if (leaves(next, old)) {
    differences.push({
      effect: 'keeps-working',
      kind: 'range-widened',
      reason,
      client: use.seen ? 'it may meet values beyond the ends of its scale' : 'it sets only part of what can be set',
      remedy: use.seen ? 'check that clients do not clip or alarm beyond the old range' : 'nothing need be done',
    });
  }
  return differences;
}

/** True when a value of `from` lies outside `to`. */
function leaves(from: PhysicalRange | undefined, to: PhysicalRange | undefined): boolean {
  if (to === undefined) return false;
  if (from === undefined) return true;
  const below = (a: Rational, b: Rational): boolean => compare(a, b) < 0;
  return below(from.min, to.min) || below(to.max, from.max);
}

type Bounds = { readonly min: number; readonly max: number };

/** @param exact true where a client counts on a fixed length: octets and arrays, not texts */
function compareLengths(
  old: Bounds,
  next: Bounds,
  use: Use,
  whole: string,
  noun: string,
  exact: boolean,
): readonly Difference[] {
  if (old.min === next.min && old.max === next.max) return [];
  const show = ({ min, max }: Bounds): string => (min === max ? `${min}` : `${min} to ${max}`);
  const reason = `${whole} length was ${show(old)} ${noun}s and is ${show(next)}`;
  if (exact && old.min === old.max) {
    return [
      {
        effect: 'breaks',
        kind: 'length-changed',
        reason,
        client: `it counts on ${old.max} ${noun}s and finds another number`,
        remedy: 'keep the length, and give the new one a characteristic and UUID of its own',
      },
    ];
  }
  const differences: Difference[] = [];
  if (next.min > old.min || next.max < old.max) {
    differences.push(
      use.written
        ? {
            effect: 'breaks',
            kind: 'length-narrowed',
            reason,
            client: 'values that were taken are refused for their length (0x0D)',
            remedy: 'keep the old length',
          }
        : {
            effect: 'keeps-working',
            kind: 'length-narrowed',
            reason,
            client: 'it meets no length that it does not know',
            remedy: 'nothing need be done',
          },
    );
  }
  if (next.min < old.min || next.max > old.max) {
    differences.push({
      effect: 'keeps-working',
      kind: 'length-widened',
      reason,
      client: use.seen
        ? 'it may meet values that are longer or shorter than it made room for'
        : 'it uses part of the room',
      remedy: use.seen
        ? 'check the buffers of clients, and the MTU that notifications now need'
        : 'nothing need be done',
    });
  }
  return differences;
}

type Named = { readonly key: string; readonly name: string };

const enumNames = (type: EnumType): readonly Named[] =>
  type.names.map(({ code, name }) => ({ key: code.toString(), name }));
const flagNames = (type: FlagsType): readonly Named[] =>
  type.names.map(({ bit, name }) => ({ key: bit.toString(), name }));

function compareNames(
  old: readonly Named[],
  next: readonly Named[],
  use: Use,
  whole: string,
  what: 'code' | 'bit' | 'special code',
): readonly Difference[] {
  const differences: Difference[] = [];
  const now = new Map(next.map(({ key, name }) => [key, name]));
  const before = new Map(old.map(({ key, name }) => [key, name]));
  const oldNames = new Set(old.map(({ name }) => name));
  for (const { key, name } of old) {
    const is = now.get(key);
    if (is === name) continue;
    if (is === undefined) {
      differences.push({
        effect: use.written ? 'breaks' : 'keeps-working',
        kind: 'name-removed',
        reason: `${whole} ${what} ${key} was \`${name}\` and has no name any more`,
        client: use.written ? `writing \`${name}\` is refused` : `it meets \`${name}\` no more`,
        remedy: use.written ? `keep \`${name}\`, even if the board treats it as another` : 'nothing need be done',
      });
    } else if (oldNames.has(is)) {
      differences.push({
        effect: 'breaks',
        kind: 'names-moved',
        reason: `${whole} ${what} ${key} was \`${name}\` and is \`${is}\`, which had another ${what}`,
        client: `it says \`${name}\` where the board means \`${is}\``,
        remedy: `leave the old names at their ${what}s, and give new names new ${what}s`,
      });
    } else {
      differences.push({
        effect: 'keeps-working',
        kind: 'name-changed',
        reason: `${whole} ${what} ${key} was called \`${name}\` and is called \`${is}\``,
        client: 'it shows the old name',
        remedy: `if \`${is}\` means something else than \`${name}\`, give it a ${what} of its own`,
      });
    }
  }
  for (const { key, name } of next) {
    if (before.has(key)) continue;
    differences.push({
      effect: 'keeps-working',
      kind: 'name-added',
      reason: `${whole} ${what} ${key} is new: \`${name}\``,
      client: use.seen ? `it has no name for ${what} ${key}` : `it cannot set \`${name}\``,
      remedy: use.seen ? `check that clients take a ${what} they do not know` : 'nothing need be done',
    });
  }
  return differences;
}

function compareStructs(old: StructType, next: StructType, use: Use, path: string): readonly Difference[] {
  const whole = subject(path);
  const ids = (type: StructType): readonly string[] => type.fields.map(({ id }) => id);
  if (old.fields.length !== next.fields.length) {
    return [fieldsChanged(`${whole} fields were ${ids(old).join(', ')} and are ${ids(next).join(', ')}`)];
  }
  const moved = old.fields.filter(({ id }, i) => next.fields[i]?.id !== id && ids(next).includes(id));
  if (moved.length > 0) {
    return [fieldsChanged(`${whole} fields were in the order ${ids(old).join(', ')} and are ${ids(next).join(', ')}`)];
  }
  return old.fields.flatMap((field, i) => {
    const now = next.fields[i];
    if (now === undefined) return [];
    const inner = path === '' ? field.id : `${path}.${field.id}`;
    const renamed: Difference[] =
      field.id === now.id
        ? []
        : [
            {
              effect: 'keeps-working',
              kind: 'field-renamed',
              reason: `${whole} field \`${field.id}\` is called \`${now.id}\``,
              client: 'it decodes the same octets under the old name',
              remedy: `if \`${now.id}\` means something else, give the struct a characteristic of its own`,
            },
          ];
    return [...renamed, ...compareTypes(field.type, now.type, use, inner)];
  });
}

function fieldsChanged(reason: string): Difference {
  return {
    effect: 'breaks',
    kind: 'fields-changed',
    reason,
    client: 'it takes the octets of one field for those of another, or refuses the length',
    remedy: 'keep the struct, and give the new one a characteristic and UUID of its own',
  };
}

function compareArrays(old: ArrayType, next: ArrayType, use: Use, path: string): readonly Difference[] {
  const elements = compareTypes(old.element, next.element, use, `${path}[]`);
  const counts = (type: ArrayType): Bounds => ({ min: type.minCount, max: type.maxCount });
  return [...elements, ...compareLengths(counts(old), counts(next), use, subject(path), 'element', true)];
}
