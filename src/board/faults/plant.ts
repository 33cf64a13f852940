import { readU16le, u16le, concat, type Bytes } from '../../base/bytes.ts';
import type { ConnectionId, ServerConnection, ServerState } from '../../att/server-model.ts';
import type { Handle, Row, Table, ValueDefinition } from '../../table/model.ts';
import type { ValueType } from '../../values/type.ts';
import { parseConsoleLine, printConsoleLine, type ConsoleLine } from '../console.ts';
import type { BoardEffect, BoardEvent, BoardReducer, BoardState, Fault } from '../model.ts';

// Tools for planting a fault in a correct board: each changes one thing that goes into it, comes out of it, or stays in
// it, and leaves the rest as it is. All are pure, so that a faulty board can be replayed like any other.

export type Wrap = NonNullable<Fault['wrap']>;

/** One step as a wrapper sees it. */
export type Around = {
  readonly table: Table;
  readonly event: BoardEvent;
  readonly before: BoardState;
  readonly after: BoardState;
};

/** Changes each PDU that the board sends; an empty list drops it. */
export function sent(change: (pdu: Bytes, around: Around, to: ConnectionId) => readonly Bytes[]): Wrap {
  return effects((all, around) =>
    all.flatMap<BoardEffect>((effect) =>
      effect.kind === 'send'
        ? change(effect.pdu, around, effect.connection).map((pdu) => ({ ...effect, pdu }))
        : [effect],
    ),
  );
}

/** Changes the effects of each step. */
export function effects(change: (all: readonly BoardEffect[], around: Around) => readonly BoardEffect[]): Wrap {
  return (inner, table) => ({
    start: (at) => inner.start(at),
    step(before, event, at) {
      const step = inner.step(before, event, at);
      return { ...step, effects: change(step.effects, { table, event, before, after: step.state }) };
    },
  });
}

/** Changes each PDU that a client sends; `undefined` drops it. */
export function received(
  change: (pdu: Bytes, table: Table, state: BoardState, from: ServerConnection) => Bytes | undefined,
): Wrap {
  return (inner, table) => ({
    start: (at) => inner.start(at),
    step(state, event, at) {
      if (event.kind !== 'received') return inner.step(state, event, at);
      const from = state.server.connections.get(event.connection);
      const pdu = from === undefined ? event.pdu : change(event.pdu, table, state, from);
      return inner.step(state, pdu === undefined ? { kind: 'time' } : { ...event, pdu }, at);
    },
  });
}

/** Changes what is in the board before a step works on it. */
export function stateBefore(change: (state: BoardState, event: BoardEvent, table: Table) => BoardState): Wrap {
  return (inner, table) => ({
    start: (at) => inner.start(at),
    step: (state, event, at) => inner.step(change(state, event, table), event, at),
  });
}

/** Changes what is in the board after each step. */
export function stateAfter(change: (around: Around) => BoardState): Wrap {
  return (inner, table) => ({
    start: (at) => inner.start(at),
    step(before, event, at) {
      const step = inner.step(before, event, at);
      return { ...step, state: change({ table, event, before, after: step.state }) };
    },
  });
}

/** Changes each line of the console. */
export function printed(change: (line: ConsoleLine) => ConsoleLine): Wrap {
  const changed = (all: readonly BoardEffect[]): readonly BoardEffect[] =>
    all.map((effect) => {
      const line = effect.kind === 'print' ? parseConsoleLine(effect.line) : undefined;
      return line === undefined ? effect : { kind: 'print', line: printConsoleLine(change(line)) };
    });
  return (inner) => ({
    start(at) {
      const step = inner.start(at);
      return { ...step, effects: changed(step.effects) };
    },
    step(state, event, at) {
      const step = inner.step(state, event, at);
      return { ...step, effects: changed(step.effects) };
    },
  });
}

/**
 * A wrapper that remembers something from step to step. The memory hangs on the state object it belongs to, so that an
 * earlier state still finds its own.
 */
export function remembering<Memory>(
  first: Memory,
  step: (
    inner: BoardReducer,
    memory: Memory,
    args: Parameters<BoardReducer['step']>,
    table: Table,
  ) => { readonly step: ReturnType<BoardReducer['step']>; readonly memory: Memory },
): Wrap {
  return (inner, table) => {
    const memories = new WeakMap<BoardState, Memory>();
    return {
      start: (at) => inner.start(at),
      step(...args) {
        const result = step(inner, memories.get(args[0]) ?? first, args, table);
        const state = { ...result.step.state };
        memories.set(state, result.memory);
        return { ...result.step, state };
      },
    };
  };
}

/** The opcode and PDU that a client sent in this step, if it did. */
export function requestOf(event: BoardEvent): Bytes | undefined {
  return event.kind === 'received' ? event.pdu : undefined;
}

/** The handle that stands behind the opcode. */
export function handleIn(pdu: Bytes): Handle {
  return readU16le(pdu, 1) ?? 0;
}

export function definitionAt(table: Table, handle: Handle): ValueDefinition | undefined {
  return table.values.find((definition) => definition.handle === handle);
}

export function rowAt(table: Table, handle: Handle): Row | undefined {
  return table.rows.find((row) => row.handle === handle);
}

/** A PDU of opcode, handle and the rest. */
export function handlePdu(opcode: number, handle: Handle, ...rest: readonly (Bytes | readonly number[])[]): Bytes {
  return concat([opcode], u16le(handle), ...rest);
}

/** Opcodes after which a value follows a handle. */
export function isWrite(pdu: Bytes): boolean {
  return pdu.length >= 3 && (pdu[0] === 0x12 || pdu[0] === 0x52);
}

/** Changes the value in a Write Request or Write Command to a value of the contract. */
export function writtenValue(change: (value: Bytes, definition: ValueDefinition, state: BoardState) => Bytes): Wrap {
  return received((pdu, table, state) => {
    const definition = isWrite(pdu) ? definitionAt(table, handleIn(pdu)) : undefined;
    return definition === undefined ? pdu : concat(pdu.subarray(0, 3), change(pdu.subarray(3), definition, state));
  });
}

export function patchServer(state: BoardState, patch: Partial<ServerState>): BoardState {
  return { ...state, server: { ...state.server, ...patch } };
}

/** Changes the connections; the change is asked for each. */
export function patchConnections(
  state: BoardState,
  change: (connection: ServerConnection, id: ConnectionId) => ServerConnection,
): BoardState {
  const connections = new Map([...state.server.connections].map(([id, each]) => [id, change(each, id)]));
  return patchServer(state, { connections });
}

export function setValueIn(state: BoardState, index: number, value: Bytes): BoardState {
  const values = [...state.server.values];
  values[index] = value;
  return patchServer(state, { values });
}

export function mapRows(table: Table, change: (row: Row) => Row): Table {
  return { ...table, rows: table.rows.map(change) };
}

export function mapValues(table: Table, change: (definition: ValueDefinition) => ValueDefinition): Table {
  return { ...table, values: table.values.map(change) };
}

/** Changes the octets of constant attributes of one type (a 16-bit UUID as text). */
export function mapConstants(table: Table, type: string, change: (bytes: Bytes, row: Row) => Bytes): Table {
  return mapRows(table, (row) =>
    row.type === type && row.content.kind === 'constant'
      ? { ...row, content: { kind: 'constant', bytes: change(row.content.bytes, row) } }
      : row,
  );
}

/** Changes a type and, in structs and arrays, the types of their parts. */
export function mapType(type: ValueType, change: (leaf: ValueType) => ValueType): ValueType {
  if (type.kind === 'struct') {
    return { ...type, fields: type.fields.map((field) => ({ ...field, type: mapType(field.type, change) })) };
  }
  if (type.kind === 'array') return { ...type, element: mapType(type.element, change) };
  return change(type);
}

/** The value with one octet changed. */
export function withOctet(bytes: Bytes, index: number, change: (octet: number) => number): Bytes {
  const copy = Uint8Array.from(bytes);
  copy[index] = change(copy[index] ?? 0);
  return copy;
}
