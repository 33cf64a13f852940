import type { ValueDefinition } from '../../table/model.ts';
import type { FloatType, IntegerType } from '../../values/type.ts';

/** The instruments of the panel. */
export type InstrumentKind =
  | 'dial'
  | 'meter'
  | 'counter'
  /** A number without a scale to draw it on. */
  | 'figure'
  | 'switch'
  /** A boolean that is only shown, and flags. */
  | 'lamps'
  | 'choice'
  | 'text'
  | 'octets'
  | 'form'
  /** A row of bars. */
  | 'bars';

const unitless = 0x2700;

export function isWritable({ access }: Pick<ValueDefinition, 'access'>): boolean {
  return access.includes('write') || access.includes('write-without-response');
}

export function isReadable({ access }: Pick<ValueDefinition, 'access'>): boolean {
  return access.includes('read');
}

/** True for what the board sends by itself. */
export function isPublished({ access }: Pick<ValueDefinition, 'access'>): boolean {
  return access.includes('notify') || access.includes('indicate');
}

/** Which instrument shows a value: follows from its type and from what may be done with it. */
export function instrumentOf(definition: Pick<ValueDefinition, 'type' | 'access'>): InstrumentKind {
  const { type } = definition;
  switch (type.kind) {
    case 'integer':
    case 'float':
      return numberInstrument(type, definition);
    case 'boolean':
      return isWritable(definition) ? 'switch' : 'lamps';
    case 'enum':
      return 'choice';
    case 'flags':
      return 'lamps';
    case 'text':
      return 'text';
    case 'bytes':
      return 'octets';
    case 'struct':
      return 'form';
    case 'array':
      return type.element.kind === 'integer' || type.element.kind === 'float' ? 'bars' : 'form';
  }
}

function numberInstrument(type: IntegerType | FloatType, definition: Pick<ValueDefinition, 'access'>): InstrumentKind {
  if (isWritable(definition)) return isBounded(type) ? 'dial' : 'figure';
  if (isCount(type)) return 'counter';
  if (isPublished(definition)) return 'meter';
  return isBounded(type) ? 'dial' : 'figure';
}

/** A range that fits on a scale: given by the contract, or all of an octet. */
function isBounded(type: IntegerType | FloatType): boolean {
  return type.kind === 'float' ? type.range !== undefined : type.bounded || type.bits <= 8;
}

/** Whole numbers from 0 without end and without unit: something is counted. */
function isCount(type: IntegerType | FloatType): boolean {
  if (type.kind === 'float' || type.signed || type.bounded || type.unit !== unitless) return false;
  const { multiplier, decimal, binary } = type.scale;
  return multiplier === 1 && decimal === 0 && binary === 0;
}

/** Width of a plate in units of the grid, some 160 px each. */
export function unitsOf(definition: Pick<ValueDefinition, 'type' | 'access'>): number {
  const kind = instrumentOf(definition);
  const { type } = definition;
  switch (kind) {
    case 'switch':
      return 1;
    case 'dial':
    case 'counter':
    case 'figure':
      return 2;
    case 'lamps':
      return type.kind === 'flags' && type.names.length > 5 ? 4 : 2;
    case 'choice':
      return type.kind === 'enum' && isLongChoice(type.names) ? 4 : 2;
    case 'text':
      return isWritable(definition) || isPublished(definition) ? 4 : 2;
    case 'octets':
      return type.kind === 'bytes' && type.maxLength <= 8 ? 2 : 4;
    case 'meter':
    case 'form':
    case 'bars':
      return 4;
  }
}

/** Names that do not stand side by side on two units. */
function isLongChoice(names: readonly { readonly name: string }[]): boolean {
  return names.length > 3 || names.reduce((sum, { name }) => sum + name.length + 4, 0) > 38;
}
