import { uuid16 } from '../../base/uuid.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import { clientFeature } from '../../numbers/properties.ts';
import type { Handle, Row } from '../../table/model.ts';
import type { AttRequest } from '../pdu/model.ts';
import type { HandleRange, ServerConnection, ServerState } from '../server-model.ts';
import { patchConnection, type Context } from './context.ts';
import { hasFeature } from './features.ts';

/**
 * Robust caching, Core Vol 3 Part G 2.5.2.1 (from memory): a client that does not know of a change of the database is
 * change-unaware. If it asked for robust caching, its first request at a handle is answered Database Out Of Sync, its
 * commands are ignored, and it gets no values. It becomes aware by confirming Service Changed, or with the next
 * request after Database Out Of Sync or after reading the Database Hash.
 */

const databaseHashType = uuid16(0x2b2a);

/** Whether the client is to be kept from using handles that may have moved. */
export function isHeldBack(connection: ServerConnection): boolean {
  return connection.changeAware !== 'aware' && hasFeature(connection.clientFeatures, clientFeature.robustCaching);
}

/** The state with which a request is handled: a client that was told and asks on is aware. */
export function onRequest(state: ServerState, context: Context): ServerState {
  return context.connection.changeAware === 'told'
    ? patchConnection(state, context.id, { changeAware: 'aware' })
    : state;
}

/** The handle to blame when the request must be answered Database Out Of Sync; `undefined` when it need not. */
export function outOfSyncHandle(connection: ServerConnection, request: AttRequest): Handle | undefined {
  return connection.changeAware === 'unaware' && isHeldBack(connection) ? handleUsed(connection, request) : undefined;
}

/** The first handle that a request relies on; `undefined` for those that find handles anew. */
function handleUsed(connection: ServerConnection, request: AttRequest): Handle | undefined {
  switch (request.kind) {
    case 'read-request':
    case 'read-blob-request':
    case 'write-request':
    case 'prepare-write-request':
      return request.handle;
    case 'read-multiple-request':
    case 'read-multiple-variable-request':
      return request.handles[0];
    case 'execute-write-request':
      return request.write ? connection.prepared[0]?.handle : undefined;
    case 'read-by-type-request':
      if (request.type === attributeType.include || request.type === attributeType.characteristic) return undefined;
      return request.start === 0x0001 && request.end === 0xffff ? undefined : request.start;
    case 'exchange-mtu-request':
    case 'find-information-request':
    case 'find-by-type-value-request':
    case 'read-by-group-type-request':
      return undefined;
  }
}

/** The state after attributes were read: who has read the hash is told. */
export function afterReading(context: Context, rows: readonly Row[]): ServerState {
  if (context.connection.changeAware !== 'unaware') return context.state;
  return rows.some((row) => row.type === databaseHashType)
    ? patchConnection(context.state, context.id, { changeAware: 'told' })
    : context.state;
}

/** The smallest range that holds both. */
export function union(a: HandleRange | undefined, b: HandleRange): HandleRange {
  return a === undefined
    ? { start: b.start, end: b.end }
    : { start: Math.min(a.start, b.start), end: Math.max(a.end, b.end) };
}
