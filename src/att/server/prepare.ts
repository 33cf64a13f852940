import { concat, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Handle, Row, Table } from '../../table/model.ts';
import type { AttRequest } from '../pdu/model.ts';
import type { PreparedWrite, ServerEffect, ServerState } from '../server-model.ts';
import { store, valueRefusal } from './accept.ts';
import { writeRefusal } from './access.ts';
import { attributeValue, lengthLimits } from './attribute.ts';
import { patchConnection, refuse, respond, type Context, type Reply } from './context.ts';

type Prepare = Extract<AttRequest, { kind: 'prepare-write-request' }>;
type Execute = Extract<AttRequest, { kind: 'execute-write-request' }>;

/** Handle and offset, kept with each part. */
const entryOverhead = 4;

/** Octets of a part at the smallest MTU, and of the smallest queue. */
const shortestPart = 18;
const smallestQueue = 64;

/**
 * Room for the longest attribute that the table lets a client write, in the parts of the smallest MTU, and half as much
 * again; octets, a multiple of 4. A chip keeps such a queue for each client.
 */
export function prepareQueueFor(table: Table): number {
  const longest = longestWritable(table);
  const once = longest + entryOverhead * Math.ceil(longest / shortestPart);
  return Math.max(smallestQueue, 4 * Math.ceil((1.5 * once) / 4));
}

/** Octets of the longest attribute that a client can write in parts. */
export function longestWritable(table: Table): number {
  return table.rows
    .filter(({ permissions }) => permissions.write !== undefined && permissions.writeRequest)
    .reduce((most, row) => Math.max(most, lengthLimits(table, row).max), 0);
}

/**
 * Queues a part. Who may write is checked now; offset, length and content only when the queue is executed. Core Vol 3
 * Part F 3.4.6.1.
 */
export function prepareWrite(context: Context, { handle, offset, part }: Prepare): Reply {
  const { state, connection, index } = context;
  const row = index.byHandle.get(handle);
  if (row === undefined) return refuse(context, attError.invalidHandle, handle);
  const refusal = writeRefusal(state, connection, row, 'request');
  if (refusal !== undefined) return refuse(context, refusal, handle);
  const queued = connection.prepared.reduce((sum, write) => sum + entryOverhead + write.part.length, 0);
  if (queued + entryOverhead + part.length > context.options.prepareQueueBytes) {
    return refuse(context, attError.prepareQueueFull, handle);
  }
  return respond(
    context,
    { kind: 'prepare-write-response', handle, offset, part },
    patchConnection(state, context.id, { prepared: [...connection.prepared, { handle, offset, part }] }),
  );
}

/** Writes all that is queued or, when any of it cannot be written, nothing; the queue is empty afterwards. Core Vol 3 Part F 3.4.6.3. */
export function executeWrite(context: Context, request: Execute): Reply {
  const emptied = patchConnection(context.state, context.id, { prepared: [] });
  if (!request.write) return respond(context, { kind: 'execute-write-response' }, emptied);
  const outcomes = new Map<Handle, Assembly>();
  for (const write of context.connection.prepared) {
    const assembly = outcomes.get(write.handle) ?? beginAssembly(context, write.handle);
    if (assembly === undefined) return refuse(context, attError.invalidHandle, write.handle, emptied);
    const refusal = addPart(context, assembly, write);
    if (refusal !== undefined) return refuse(context, refusal, write.handle, emptied);
    outcomes.set(write.handle, assembly);
  }
  const wholes = [...outcomes.values()].map((assembly) => ({ row: assembly.row, value: assembled(context, assembly) }));
  for (const { row, value } of wholes) {
    const refusal =
      writeRefusal(context.state, context.connection, row, 'request') ?? valueRefusal(context, row, value);
    if (refusal !== undefined) return refuse(context, refusal, row.handle, emptied);
  }
  let state: ServerState = emptied;
  const effects: ServerEffect[] = [];
  for (const { row, value } of wholes) {
    const stored = store(context, state, row, value);
    state = stored.state;
    effects.push(...stored.effects);
  }
  return respond(context, { kind: 'execute-write-response' }, state, effects);
}

/** The value of one attribute while the parts written to it are laid over it in their order. */
type Assembly = {
  readonly row: Row;
  value: Bytes;
  /** Whether a part began at offset 0. */
  anew: boolean;
  /** Where the last octet written ends. */
  end: number;
};

function beginAssembly(context: Context, handle: Handle): Assembly | undefined {
  const row = context.index.byHandle.get(handle);
  if (row === undefined) return undefined;
  const value = attributeValue(context.table, context.state, context.connection, row);
  return { row, value, anew: false, end: 0 };
}

/** Error code for a part that begins behind the value or ends behind its greatest length. */
function addPart(context: Context, assembly: Assembly, { offset, part }: PreparedWrite): number | undefined {
  const end = offset + part.length;
  if (offset > assembly.value.length) return attError.invalidOffset;
  if (end > lengthLimits(context.table, assembly.row).max) return attError.invalidAttributeValueLength;
  assembly.value = concat(assembly.value.subarray(0, offset), part, assembly.value.subarray(end));
  assembly.anew ||= offset === 0;
  assembly.end = Math.max(assembly.end, end);
  return undefined;
}

/**
 * Parts that begin at offset 0 give a value of variable length anew, so that no tail of a longer one stays behind;
 * parts that begin later change a piece of the old value.
 */
function assembled(context: Context, { row, value, anew, end }: Assembly): Bytes {
  const { min, max } = lengthLimits(context.table, row);
  return anew && min !== max ? value.subarray(0, end) : value;
}
