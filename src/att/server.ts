import { us } from '../base/quantity.ts';
import type { Bytes } from '../base/bytes.ts';
import { attError } from '../numbers/att-errors.ts';
import { isCommand, opcodeEntry } from '../numbers/att-opcodes.ts';
import type { Table } from '../table/model.ts';
import { decodePdu } from './pdu/decode.ts';
import { encodePdu } from './pdu/encode.ts';
import { isRequest } from './pdu/kind.ts';
import type { AttRequest } from './pdu/model.ts';
import type {
  ConnectionId,
  ServerConnection,
  ServerEvent,
  ServerOptions,
  ServerReducer,
  ServerState,
  ServerStep,
} from './server-model.ts';
import { connect, databaseChanged, disconnect, secure } from './server/bonds.ts';
import { isHeldBack, onRequest, outOfSyncHandle } from './server/caching.ts';
import { nothing, patchConnection, refuse, type Context, type Reply, type Surroundings } from './server/context.ts';
import { findByTypeValue, findInformation } from './server/find.ts';
import { readByGroupType } from './server/group.ts';
import { confirm, expireIndications, sendNextIndication } from './server/indicate.ts';
import { exchangeMtu } from './server/mtu.ts';
import { publish } from './server/notify.ts';
import { executeWrite, prepareQueueFor, prepareWrite } from './server/prepare.ts';
import { readByType } from './server/read-by-type.ts';
import { readMultiple, readMultipleVariable } from './server/read-multiple.ts';
import { read, readBlob } from './server/read.ts';
import { indexOf } from './server/table-index.ts';
import { write, writeCommand } from './server/write.ts';

export { nextDeadline as nextServerDeadline } from './server/indicate.ts';

/** The board at power-up: values of the contract, nobody connected, no bonds. */
export function startServer(table: Table): ServerState {
  return {
    values: table.values.map((value) => value.start),
    descriptions: new Map(),
    connections: new Map(),
    bonds: new Map(),
  };
}

/** The server gives the MTU that the contract counts on, room for its longest write and half as much again, and the standard's 30 s. */
export function defaultServerOptions(table: Table): ServerOptions {
  return {
    maxMtu: table.radio.connection.mtu,
    prepareQueueBytes: prepareQueueFor(table),
    transactionTimeout: us(30_000_000),
  };
}

/** The ATT and GATT server, Core Vol 3 Parts F and G. Total: whatever a client sends is answered or ignored as the standard says. */
export const attServer: ServerReducer = (table, options, state, event, at) => {
  const around: Surroundings = { table, options, at, index: indexOf(table) };
  const expired = expireIndications(around, state);
  const step = handle(around, expired.state, event);
  return expired.effects.length === 0 ? step : { state: step.state, effects: [...expired.effects, ...step.effects] };
};

function handle(around: Surroundings, state: ServerState, event: ServerEvent): ServerStep {
  switch (event.kind) {
    case 'connected':
      return connect(around, state, event.connection, event.peer);
    case 'disconnected':
      return { state: disconnect(around, state, event.connection), effects: nothing };
    case 'received':
      return receive(around, state, event.connection, event.pdu);
    case 'security':
      return secure(around, state, event.connection, event.security);
    case 'set':
      return { state: setValue(state, event.index, event.value), effects: nothing };
    case 'publish':
      return publish(around, state, [event.index]);
    case 'publish-together':
      return publish(around, state, event.indices);
    case 'database-changed':
      return databaseChanged(around, state, { start: event.start, end: event.end });
    case 'time':
      return { state, effects: nothing };
  }
}

function setValue(state: ServerState, index: number, value: Bytes): ServerState {
  if (index < 0 || index >= state.values.length) return state;
  const values = [...state.values];
  values[index] = value;
  return { ...state, values };
}

function receive(around: Surroundings, state: ServerState, id: ConnectionId, bytes: Bytes): ServerStep {
  const connection = state.connections.get(id);
  const opcode = bytes[0];
  if (connection === undefined || connection.dead || opcode === undefined) return { state, effects: nothing };
  const context: Context = { ...around, state, id, connection, opcode };
  const pdu = decodePdu(bytes);
  if (pdu.kind === 'malformed' || bytes.length > connection.mtu) return refuseMalformed(context);
  if (isRequest(pdu)) return reply(context, answer(context, pdu));
  if (pdu.kind === 'handle-value-confirmation') return confirm(around, state, id);
  if (pdu.kind === 'write-command' && !isHeldBack(connection)) return writeCommand(context, pdu);
  // Responses answer nothing that a server asked; without a signing key no Signed Write Command can be right.
  return { state, effects: nothing };
}

/** Requests that cannot be read are refused, everything else of that kind is ignored. Core Vol 3 Part F 3.3 and 3.4.1.1. */
function refuseMalformed(context: Context): ServerStep {
  const kind = opcodeEntry(context.opcode)?.kind;
  if (kind === 'request') return reply(context, refuse(context, attError.invalidPdu, 0));
  if (kind !== undefined || isCommand(context.opcode)) return { state: context.state, effects: nothing };
  return reply(context, refuse(context, attError.requestNotSupported, 0));
}

function reply(context: Context, { response, state, effects }: Reply): ServerStep {
  const step: ServerStep = {
    state,
    effects: [{ kind: 'send', connection: context.id, pdu: encodePdu(response) }, ...effects],
  };
  // A client that became aware of a change may now have what waited for that.
  if (context.connection.indicationQueue.length === 0) return step;
  const next = sendNextIndication(context, state, context.id);
  return { state: next.state, effects: [...step.effects, ...next.effects] };
}

function answer(received: Context, request: AttRequest): Reply {
  const outOfSync = outOfSyncHandle(received.connection, request);
  if (outOfSync !== undefined) return refuseOutOfSync(received, request, outOfSync);
  const context = awakened(received);
  switch (request.kind) {
    case 'exchange-mtu-request':
      return exchangeMtu(context, request);
    case 'find-information-request':
      return findInformation(context, request);
    case 'find-by-type-value-request':
      return findByTypeValue(context, request);
    case 'read-by-type-request':
      return readByType(context, request);
    case 'read-request':
      return read(context, request);
    case 'read-blob-request':
      return readBlob(context, request);
    case 'read-multiple-request':
      return readMultiple(context, request);
    case 'read-multiple-variable-request':
      return readMultipleVariable(context, request);
    case 'read-by-group-type-request':
      return readByGroupType(context, request);
    case 'write-request':
      return write(context, request);
    case 'prepare-write-request':
      return prepareWrite(context, request);
    case 'execute-write-request':
      return executeWrite(context, request);
  }
}

/** Said once; the queue of prepared writes is for handles that may have moved. */
function refuseOutOfSync(context: Context, request: AttRequest, handle: number): Reply {
  const patch: Partial<ServerConnection> =
    request.kind === 'execute-write-request' ? { changeAware: 'told', prepared: [] } : { changeAware: 'told' };
  return refuse(context, attError.databaseOutOfSync, handle, patchConnection(context.state, context.id, patch));
}

/** The context after the client's request has made it aware, if it was told. */
function awakened(context: Context): Context {
  const state = onRequest(context.state, context);
  const connection = state.connections.get(context.id);
  return state === context.state || connection === undefined ? context : { ...context, state, connection };
}
