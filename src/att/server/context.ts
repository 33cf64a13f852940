import type { Microseconds } from '../../base/quantity.ts';
import type { Handle, Table } from '../../table/model.ts';
import type { AttResponse, PositiveResponse } from '../pdu/model.ts';
import type { ConnectionId, ServerConnection, ServerEffect, ServerOptions, ServerState } from '../server-model.ts';
import type { TableIndex } from './table-index.ts';

/** What stays the same while one event is dealt with. */
export type Surroundings = {
  readonly table: Table;
  readonly index: TableIndex;
  readonly options: ServerOptions;
  readonly at: Microseconds;
};

/** All that answering one PDU may look at. */
export type Context = Surroundings & {
  readonly state: ServerState;
  readonly id: ConnectionId;
  readonly connection: ServerConnection;
  /** Of the PDU that is answered; an Error Response names it. */
  readonly opcode: number;
};

/** `effects` come after the response was sent: nothing that follows from a write overtakes its answer. */
export type Reply = {
  readonly response: AttResponse;
  readonly state: ServerState;
  readonly effects: readonly ServerEffect[];
};

export const nothing: readonly ServerEffect[] = [];

export function respond(
  context: Context,
  response: PositiveResponse,
  state: ServerState = context.state,
  effects: readonly ServerEffect[] = nothing,
): Reply {
  return { response, state, effects };
}

/** @param handle the attribute to blame, 0 for none */
export function refuse(context: Context, code: number, handle: Handle, state: ServerState = context.state): Reply {
  return {
    response: { kind: 'error-response', request: context.opcode, handle, code },
    state,
    effects: nothing,
  };
}

/** The state with some fields of one connection replaced; unchanged when there is no such connection. */
export function patchConnection(state: ServerState, id: ConnectionId, patch: Partial<ServerConnection>): ServerState {
  const connection = state.connections.get(id);
  if (connection === undefined) return state;
  const connections = new Map(state.connections);
  connections.set(id, { ...connection, ...patch });
  return { ...state, connections };
}
