import type { Bytes } from '../base/bytes.ts';
import { nearest } from '../base/nearest.ts';
import type { Random } from '../base/random.ts';
import { encode } from '../values/codec.ts';
import type { Coded, ValueType } from '../values/type.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import type { World } from './model.ts';
import { asNumber, coerce, decoded, RigMistake } from './rig-value.ts';

/** The board's values as a rig may reach them. */
export type WorldValues = {
  get(index: number): Bytes;
  set(index: number, value: Bytes): void;
};

/** Makes the world of one step of a rig. `random` is asked for only when the rig wants numbers. */
export type WorldMaker = (values: WorldValues, random: () => Random) => World;

/**
 * The world of one table. Ids are those of the contract; `calibration.gain` and `samples.3` name a field and an item.
 *
 * A rig asks for the same values many times a second and they seldom change: the last answer is kept beside the octets
 * it was made of.
 */
export function worldOf(table: Table): WorldMaker {
  const definitions = new Map(table.values.map((definition) => [definition.id, definition]));
  const numbers = new Map<string, { readonly of: Bytes; readonly number: number }>();

  const definition = (id: string): ValueDefinition => {
    const found = definitions.get(id);
    if (found !== undefined) return found;
    const near = nearest(id, definitions.keys());
    throw new RigMistake(`no value ${id}${near === undefined ? '' : `; did you mean ${near}?`}`);
  };

  return (values, random) => {
    const part = (path: string): { type: ValueType; coded: Coded } => {
      const [id = '', ...steps] = path.split('.');
      const { type, index } = definition(id);
      return steps.reduce(within, { type, coded: decoded(type, values.get(index)) });
    };
    let drawn: Random | undefined;
    return {
      get random() {
        return (drawn ??= random());
      },
      number(path) {
        const dot = path.indexOf('.');
        const of = values.get(definition(dot < 0 ? path : path.slice(0, dot)).index);
        const known = numbers.get(path);
        if (known?.of === of) return known.number;
        const { type, coded } = part(path);
        const number = asNumber(type, coded);
        numbers.set(path, { of, number });
        return number;
      },
      text(path) {
        const { coded } = part(path);
        if (coded.kind !== 'text') throw new RigMistake(`${path} is no text`);
        return coded.value;
      },
      set(id, value) {
        const { type, index } = definition(id);
        const result = encode(type, coerce(type, value, decoded(type, values.get(index))));
        if (!result.ok) throw new RigMistake(`${id}: ${result.refusal.message}`);
        values.set(index, result.value);
      },
    };
  };
}

function within({ type, coded }: { type: ValueType; coded: Coded }, step: string): { type: ValueType; coded: Coded } {
  if (type.kind === 'struct' && coded.kind === 'struct') {
    const index = type.fields.findIndex((field) => field.id === step);
    const field = type.fields[index];
    const value = coded.fields[index];
    if (field !== undefined && value !== undefined) return { type: field.type, coded: value };
  }
  if (type.kind === 'array' && coded.kind === 'array' && /^\d+$/.test(step)) {
    const value = coded.items[Number(step)];
    if (value !== undefined) return { type: type.element, coded: value };
  }
  throw new RigMistake(`there is no part ${step}`);
}
