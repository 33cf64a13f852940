import { bug } from '../../base/bug.ts';
import type { Writer } from '../writer.ts';
import { typeText, varies, type Shape } from './shape.ts';

/**
 * Statements that write a value's octets or read them. All places are constant but for items of arrays, which have a
 * fixed length each; only the last part of a value can vary in length.
 */

/** An offset: octets plus products of loop variables. */
type Place = { readonly octets: number; readonly terms: readonly string[] };

function at(place: Place): string {
  const parts = place.terms.length === 0 || place.octets > 0 ? [`${place.octets}`, ...place.terms] : place.terms;
  return parts.join(' + ');
}

/** A pointer to a place in `octets`. */
function pointer(place: Place): string {
  return place.octets === 0 && place.terms.length === 0 ? 'octets' : `octets + ${at(place)}`;
}

function behind(place: Place, octets: number): Place {
  return { ...place, octets: place.octets + octets };
}

export const start: Place = { octets: 0, terms: [] };

const loopNames = ['i', 'j', 'k', 'l', 'm', 'n'];

/** The loop variables that packing this shape takes. */
export function loopVariables(shape: Shape): readonly string[] {
  return loopNames.slice(0, depthOf(shape));
}

function depthOf(shape: Shape): number {
  switch (shape.kind) {
    case 'octets':
      return 1;
    case 'array':
      return 1 + depthOf(shape.element);
    case 'struct':
      return Math.max(0, ...shape.fields.map((field) => depthOf(field.shape)));
    default:
      return 0;
  }
}

/**
 * Writes `value` behind `octets`.
 *
 * @param value an expression; for octets and arrays that of the first element
 * @param count the expression of a varying length
 */
export function putStatements(
  writer: Writer,
  shape: Shape,
  value: string,
  count: string,
  place: Place = start,
  depth = 0,
): void {
  switch (shape.kind) {
    case 'boolean':
      writer.line(`octets[${at(place)}] = ${value} ? 1 : 0;`);
      break;
    case 'number':
    case 'flags':
    case 'enum':
      writer.line(putNumber(shape.octets, value, place));
      break;
    case 'octets':
    case 'array':
      putItems(writer, shape, value, count, place, depth);
      break;
    case 'struct':
      for (const field of shape.fields) {
        const member = `${value}.${field.name}`;
        if (field.bits === undefined) {
          const length = field.shape.kind === 'octets' ? 'length' : 'count';
          putStatements(writer, field.shape, member, `${member}_${length}`, behind(place, field.bitOffset / 8), depth);
        } else {
          const octets = pointer(behind(place, Math.floor(field.bitOffset / 8)));
          writer.line(`gw_put_bits(${octets}, ${field.bitOffset % 8}, ${field.bits}, (uint32_t)${member});`);
        }
      }
      break;
  }
}

function putNumber(octets: number, value: string, place: Place): string {
  if (octets === 1) return `octets[${at(place)}] = (uint8_t)${value};`;
  const wide = octets > 4 ? '64' : '';
  return `gw_put_le${wide}(${pointer(place)}, ${octets}, (uint${octets > 4 ? 64 : 32}_t)${value});`;
}

function putItems(
  writer: Writer,
  shape: Extract<Shape, { kind: 'octets' | 'array' }>,
  value: string,
  count: string,
  place: Place,
  depth: number,
): void {
  if (shape.max === 0) return;
  const variable = loopNames[depth];
  bug(variable !== undefined, 'arrays nested deeper than a contract allows');
  const end = varies(shape) ? count : `${shape.max}`;
  writer.block(`for (${variable} = 0; ${variable} < ${end}; ${variable}++) {`, '}', () => {
    if (shape.kind === 'octets') {
      writer.line(`octets[${at(inLoop(place, variable, 1))}] = (uint8_t)${value}[${variable}];`);
      return;
    }
    putStatements(
      writer,
      shape.element,
      `${value}[${variable}]`,
      '',
      inLoop(place, variable, shape.elementOctets),
      depth + 1,
    );
  });
}

function inLoop(place: Place, variable: string, octets: number): Place {
  return { ...place, terms: [...place.terms, octets === 1 ? variable : `${octets} * ${variable}`] };
}

/** The other way: reads `octets` into `value`; a varying length follows from `length`, the octets there are. */
export function getStatements(
  writer: Writer,
  shape: Shape,
  value: string,
  count: string,
  place: Place = start,
  depth = 0,
): void {
  switch (shape.kind) {
    case 'boolean':
      writer.line(`${value} = octets[${at(place)}] != 0;`);
      break;
    case 'number':
    case 'flags':
    case 'enum':
      writer.line(`${value} = ${getNumber(shape, place)};`);
      break;
    case 'octets':
    case 'array':
      getItems(writer, shape, value, count, place, depth);
      break;
    case 'struct':
      for (const field of shape.fields) {
        const member = `${value}.${field.name}`;
        if (field.bits === undefined) {
          const length = field.shape.kind === 'octets' ? 'length' : 'count';
          getStatements(writer, field.shape, member, `${member}_${length}`, behind(place, field.bitOffset / 8), depth);
        } else {
          bug(field.shape.kind === 'number', 'only integers are packed');
          const octets = pointer(behind(place, Math.floor(field.bitOffset / 8)));
          const read = field.shape.type.signed ? 'gw_get_signed_bits' : 'gw_get_bits';
          writer.line(
            `${member} = (${typeText(field.shape)})${read}(${octets}, ${field.bitOffset % 8}, ${field.bits});`,
          );
        }
      }
      break;
  }
}

/** The expression of a number at a place. */
export function getNumber(shape: Extract<Shape, { kind: 'number' | 'flags' | 'enum' }>, place: Place = start): string {
  const type = typeText(shape);
  if (shape.octets === 1) return type === 'uint8_t' ? `octets[${at(place)}]` : `(${type})octets[${at(place)}]`;
  const wide = shape.octets > 4 ? '64' : '';
  const read = shape.kind === 'number' && shape.type.signed ? 'gw_get_signed_le' : 'gw_get_le';
  return `(${type})${read}${wide}(${pointer(place)}, ${shape.octets})`;
}

function getItems(
  writer: Writer,
  shape: Extract<Shape, { kind: 'octets' | 'array' }>,
  value: string,
  count: string,
  place: Place,
  depth: number,
): void {
  if (shape.max === 0) return;
  const variable = loopNames[depth];
  bug(variable !== undefined, 'arrays nested deeper than a contract allows');
  const each = shape.kind === 'octets' ? 1 : shape.elementOctets;
  if (varies(shape)) {
    const rest = place.octets === 0 ? 'length' : `(length - ${place.octets})`;
    writer.line(`${count} = (uint16_t)(${rest} / ${each});`);
  }
  const end = varies(shape) ? count : `${shape.max}`;
  writer.block(`for (${variable} = 0; ${variable} < ${end}; ${variable}++) {`, '}', () => {
    const item = `${value}[${variable}]`;
    if (shape.kind === 'octets') {
      writer.line(`${item} = ${shape.element === 'char' ? '(char)' : ''}octets[${at(inLoop(place, variable, 1))}];`);
      return;
    }
    getStatements(writer, shape.element, item, '', inLoop(place, variable, each), depth + 1);
  });
}
