import { us } from '../base/quantity.ts';
import { one, toDouble } from '../base/rational.ts';
import type { Random } from '../base/random.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import { resolution } from '../values/physical.ts';
import type { EnumType, FlagsType, FloatType, IntegerType, TextType, ValueType } from '../values/type.ts';
import type { Rig, RigValue } from './model.ts';

/** Seconds between the steps of the built-in rig. */
const period = 0.2;

/**
 * The world of a contract that brings no rig of its own: what the board owns (what clients may read or subscribe to but
 * not write) moves in a plausible way, so that a fresh contract has a live board. Counts tick, bounded numbers wander
 * within their range, names, flags and texts change now and then, a battery falls slowly. Device Information stands
 * still.
 */
export function defaultRig(table: Table): Rig<readonly unknown[]> {
  const moving = table.values
    .filter((definition) => belongsToBoard(definition, table))
    .map((definition) => ({
      id: definition.id,
      mover: definition.uuid === batteryLevel ? falling : moverFor(definition.type),
    }));
  return {
    every: us(period * 1e6),
    start: (random) => moving.map(({ mover }) => mover.start(random)),
    step: (states, world) =>
      moving.map(({ id, mover }, i) => {
        const { state, value } = mover.step(states[i], world.random);
        if (value !== undefined) world.set(id, value);
        return state;
      }),
  };
}

const deviceInformation = '180A';
const batteryLevel = '2A19';

function belongsToBoard({ access, service }: ValueDefinition, table: Table): boolean {
  if (access.includes('write') || access.includes('write-without-response')) return false;
  return table.services.find(({ id }) => id === service)?.uuid !== deviceInformation;
}

/** One value's way of moving. `value`: what it is now; `undefined` for as it was. */
type Mover = {
  start(random: Random): unknown;
  step(state: unknown, random: Random): { readonly state: unknown; readonly value: RigValue | undefined };
};

/** A mover whose state type is known to itself only. */
function mover<State>(
  start: (random: Random) => State,
  step: (state: State, random: Random) => { readonly state: State; readonly value: RigValue | undefined },
): Mover {
  // A rig hands each mover its own earlier state back, and no other.
  return { start, step: (state, random) => step(state as State, random) };
}

function moverFor(type: ValueType): Mover {
  switch (type.kind) {
    case 'boolean':
      return sometimes(15, 0, (now) => ({ state: 1 - now, value: now === 0 }));
    case 'integer':
      return isCount(type) ? counting : wandering(type);
    case 'float':
      return wandering(type);
    case 'enum':
      return choosing(type);
    case 'flags':
      return flipping(type);
    case 'text':
      return speaking(type);
    case 'bytes':
      return sometimes(5, 0, (count, random) => {
        const length = type.minLength + random.int(type.maxLength - type.minLength + 1);
        return { state: count + 1, value: Array.from({ length }, () => random.int(256)) };
      });
    case 'struct':
      return together(
        type.fields.map((field) => moverFor(field.type)),
        (parts) =>
          Object.fromEntries(
            type.fields.flatMap(({ id }, i) => {
              const part = parts[i];
              return part === undefined ? [] : [[id, part]];
            }),
          ),
      );
    case 'array':
      return together(
        Array.from({ length: Math.max(type.minCount, Math.min(type.maxCount, 8)) }, () => moverFor(type.element)),
        // An item that has not moved yet has no value: then the list is not whole, and waits.
        (parts) => (parts.every((part) => part !== undefined) ? parts : undefined),
      );
  }
}

/** Changes once in `seconds` on average. */
function sometimes<State>(
  seconds: number,
  first: State,
  change: (state: State, random: Random) => { readonly state: State; readonly value: RigValue },
): Mover {
  return mover<State>(
    () => first,
    (state, random) => (random.unit() < period / seconds ? change(state, random) : { state, value: undefined }),
  );
}

/** Wide unsigned numbers without a unit and without a range count something. */
function isCount(type: IntegerType): boolean {
  return !type.signed && !type.bounded && type.bits >= 16 && type.unit === unitless;
}

/** About once a second, a random process as clicks of a counter are. */
const counting = mover<number>(
  () => 0,
  (count, random) =>
    random.unit() < period ? { state: count + 1, value: count + 1 } : { state: count, value: undefined },
);

/** One percent in two minutes; a fresh battery at five. */
const falling = mover<number>(
  (random) => 80 + 20 * random.unit(),
  (charge) => {
    const rest = charge < 5 ? 100 : charge - period / 120;
    return { state: rest, value: Math.round(rest) };
  },
);

/** About the middle, back within half a minute: an Ornstein-Uhlenbeck process, exact for any step. */
function wandering(type: IntegerType | FloatType): Mover {
  const { centre, spread } = plausible(type);
  const keep = Math.exp(-period / 15);
  const stir = spread * Math.sqrt(1 - keep * keep);
  return mover<number>(
    (random) => centre + spread * random.normal(),
    (x, random) => {
      const next = centre + keep * (x - centre) + stir * random.normal();
      return { state: next, value: Number(next.toPrecision(6)) };
    },
  );
}

function choosing({ names }: EnumType): Mover {
  return sometimes(10, 0, (now, random) => {
    // Never the same again, where there is another.
    const next = names.length < 2 ? 0 : (now + 1 + random.int(names.length - 1)) % names.length;
    return { state: next, value: names[next]?.name ?? 0 };
  });
}

function flipping({ names }: FlagsType): Mover {
  return sometimes<readonly string[]>(8, [], (set, random) => {
    const name = names[random.int(names.length)]?.name;
    const next = name === undefined ? set : set.includes(name) ? set.filter((other) => other !== name) : [...set, name];
    return { state: next, value: next };
  });
}

function speaking(type: TextType): Mover {
  return sometimes(10, 1, (count) => ({ state: count + 1, value: shortened(`report ${count}`, type) }));
}

/** Where there is no room for the words, the number alone. */
function shortened(text: string, { encoding, maxLength }: TextType): string {
  const room = encoding === 'utf8' ? maxLength : Math.floor(maxLength / 2);
  return text.length <= room ? text : text.replace(/\D/g, '').slice(0, room);
}

/** Several movers as one; `join` makes the whole of the newest values of its parts, or `undefined` to wait. */
function together(
  movers: readonly Mover[],
  join: (parts: readonly (RigValue | undefined)[]) => RigValue | undefined,
): Mover {
  type Part = { readonly state: unknown; readonly value: RigValue | undefined };
  return mover<readonly Part[]>(
    (random) => movers.map((part) => ({ state: part.start(random), value: undefined })),
    (parts, random) => {
      const steps = movers.map((part, i) => part.step(parts[i]?.state, random));
      const next = steps.map(({ state, value }, i) => ({ state, value: value ?? parts[i]?.value }));
      const moved = steps.some(({ value }) => value !== undefined);
      return { state: next, value: moved ? join(next.map(({ value }) => value)) : undefined };
    },
  );
}

const unitless = 0x2700;

/** What such quantities commonly are in a laboratory, by unit. */
const common: ReadonlyMap<number, Habit> = new Map([
  [0x2704, { centre: 0.2, spread: 0.03 }], // ampere
  [0x2705, { centre: 294, spread: 1 }], // kelvin
  [0x2724, { centre: 101_300, spread: 150 }], // pascal
  [0x2728, { centre: 3.3, spread: 0.05 }], // volt
  [0x272f, { centre: 21, spread: 1 }], // degree Celsius
  [0x2731, { centre: 400, spread: 60 }], // lux
  [0x27ad, { centre: 50, spread: 10 }], // percentage
]);

type Habit = { readonly centre: number; readonly spread: number };

function plausible(type: IntegerType | FloatType): Habit {
  const { range } = type;
  const usual = common.get(type.unit);
  if (range === undefined) return usual ?? { centre: 0, spread: 1 };
  const min = toDouble(range.min);
  const max = toDouble(range.max);
  if (usual !== undefined && usual.centre > min && usual.centre < max) return usual;
  if (type.kind === 'float' || type.bounded) return { centre: (min + max) / 2, spread: (max - min) / 8 };
  // A bare width says nothing of the quantity: some dozens of steps about zero, or as near as it gets.
  const code = toDouble(resolution(type) ?? one);
  const centre = min < 0 ? 0 : min + 100 * code;
  return { centre, spread: 20 * code };
}
