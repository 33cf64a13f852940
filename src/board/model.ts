import type { Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Random } from '../base/random.ts';
import type { Table } from '../table/model.ts';
import type { LinkSecurity } from '../att/link.ts';
import type { ConnectionId, ServerState } from '../att/server-model.ts';

/**
 * The virtual board as a reducer: everything that happens to it is an event with its time; a run can be replayed from
 * table, rig, seed and events. `VirtualBoard` (virtual-board.ts) gives it a clock.
 */
export type BoardState = {
  readonly server: ServerState;
  /** When the board was powered up: its own millisecond clock counts from here. */
  readonly startedAt: Microseconds;
  readonly rig: unknown;
  /** Steps the rig has made; each step's random numbers follow from the seed and this number. */
  readonly rigSteps: number;
  /** By value index. */
  readonly publications: readonly Publication[];
  /** Value index to deadline: failsafe values due after a lost link. */
  readonly failsafes: ReadonlyMap<number, Microseconds>;
  /** Connected clients, for the console. */
  readonly clients: ReadonlyMap<ConnectionId, { readonly peer: string; readonly since: Microseconds }>;
  readonly advertising: boolean;
  /** By value index: when and how a client last touched the value. */
  readonly lastAccess: readonly (LastAccess | undefined)[];
  /** `undefined`: no rig, or one that has stopped. */
  readonly nextRigStep: Microseconds | undefined;
  /** Whether changes of truth are told on the console; on at power-up. */
  readonly telling: boolean;
};

export type LastAccess = {
  readonly at: Microseconds;
  readonly how: 'read' | 'written' | 'notified' | 'indicated';
};

/** The notification policy of one value at work. */
export type Publication = {
  /** The value changed since it was last published. */
  readonly pending: boolean;
  /** When it was last published. */
  readonly last: Microseconds | undefined;
  /** For `every`: when it is due. */
  readonly due: Microseconds | undefined;
};

/** What made a value change; the last word of a tell line. */
export type Cause = 'start' | 'rig' | 'air' | 'console' | 'failsafe';

export type BoardEvent =
  | { readonly kind: 'connected'; readonly connection: ConnectionId; readonly peer: string }
  /** `lost`: by supervision timeout. `terminated`: the peer said goodbye. Failsafes run in both cases. */
  | { readonly kind: 'disconnected'; readonly connection: ConnectionId; readonly how: 'lost' | 'terminated' }
  | { readonly kind: 'received'; readonly connection: ConnectionId; readonly pdu: Bytes }
  | { readonly kind: 'security'; readonly connection: ConnectionId; readonly security: LinkSecurity }
  /** A line typed on the board's console, without its line end. */
  | { readonly kind: 'typed'; readonly line: string }
  /** Time has come for whatever was due. */
  | { readonly kind: 'time' };

export type BoardEffect =
  | { readonly kind: 'send'; readonly connection: ConnectionId; readonly pdu: Bytes }
  /** A line on the console, without its line end. */
  | { readonly kind: 'print'; readonly line: string }
  | { readonly kind: 'advertise'; readonly on: boolean }
  | { readonly kind: 'close'; readonly connection: ConnectionId; readonly why: string };

export type BoardStep = {
  readonly state: BoardState;
  readonly effects: readonly BoardEffect[];
  /** When the board wants a `time` event; `undefined`: not before something else happens. */
  readonly wakeAt: Microseconds | undefined;
};

export type BoardReducer = {
  start(at: Microseconds): BoardStep;
  step(state: BoardState, event: BoardEvent, at: Microseconds): BoardStep;
};

/**
 * A fault planted in a correct board, to see it caught: it wraps the reducer (and may change the table the board works
 * from), and sees and changes all that goes in and out.
 */
export type Fault = {
  /** Kebab case: `failsafe-missing`. */
  readonly name: string;
  /** One sentence: what this board does wrong, in the user's words. */
  readonly about: string;
  /** What a user sees on the bench. */
  readonly symptom: string;
  table?(table: Table): Table;
  wrap?(inner: BoardReducer, table: Table): BoardReducer;
};

/**
 * The simulated world behind a virtual board. Numbers are physical values in the contract's units; what is set is
 * rounded to the nearest code and held within the contract's range.
 */
export type Rig<State> = {
  /** Time between steps. */
  readonly every: Microseconds;
  start(random: Random): State;
  /** @param elapsed time since the board started, at the end of this step */
  step(state: State, world: World, elapsed: Microseconds): State;
};

export type World = {
  /** The number a value holds now; a boolean is 0 or 1, an enum or flags its code. */
  number(id: string): number;
  text(id: string): string;
  /** Changes a value that the board owns. */
  set(id: string, value: RigValue): void;
  readonly random: Random;
};

/**
 * What a rig sets. A number for a number, an enum's or flags' code, or a boolean; a name for an enum, a text for a text;
 * a list for an array, octets or the names of set flags; an object for a struct (fields left out keep their value) or
 * flags by name.
 */
export type RigValue = number | string | boolean | readonly RigValue[] | { readonly [field: string]: RigValue };
