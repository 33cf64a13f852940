import { concat, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Row } from '../../table/model.ts';
import type { AttRequest } from '../pdu/model.ts';
import type { ServerEffect, ServerState } from '../server-model.ts';
import { readRefusal } from './access.ts';
import { attributeValue, readEffects } from './attribute.ts';
import { afterReading } from './caching.ts';
import { refuse, respond, type Context, type Reply } from './context.ts';

type ReadMultiple = Extract<AttRequest, { kind: 'read-multiple-request' }>;
type ReadMultipleVariable = Extract<AttRequest, { kind: 'read-multiple-variable-request' }>;

/** All values one behind the other, cut at MTU - 1 octets. Core Vol 3 Part F 3.4.4.7. */
export function readMultiple(context: Context, { handles }: ReadMultiple): Reply {
  const read = readAll(context, handles);
  if (!read.ok) return read.reply;
  const values = concat(...read.values).subarray(0, context.connection.mtu - 1);
  return respond(context, { kind: 'read-multiple-response', values }, read.state, read.effects);
}

/**
 * All values, each behind its whole length; what is over MTU - 1 octets is cut, but never within a length. Core Vol 3
 * Part F 3.4.4.11.
 */
export function readMultipleVariable(context: Context, { handles }: ReadMultipleVariable): Reply {
  const read = readAll(context, handles);
  if (!read.ok) return read.reply;
  const items: { length: number; value: Bytes }[] = [];
  let room = context.connection.mtu - 1;
  for (const value of read.values) {
    if (room < 2) break;
    const shown = value.subarray(0, room - 2);
    items.push({ length: value.length, value: shown });
    room -= 2 + shown.length;
  }
  return respond(context, { kind: 'read-multiple-variable-response', items }, read.state, read.effects);
}

type AllRead =
  | {
      readonly ok: true;
      readonly values: readonly Bytes[];
      readonly state: ServerState;
      readonly effects: readonly ServerEffect[];
    }
  | { readonly ok: false; readonly reply: Reply };

/** Either every value or the error of the first attribute that cannot be read. */
function readAll(context: Context, handles: readonly number[]): AllRead {
  const { table, connection, id, index } = context;
  const rows: Row[] = [];
  for (const handle of handles) {
    const row = index.byHandle.get(handle);
    const refusal = row === undefined ? attError.invalidHandle : readRefusal(context.state, connection, row);
    if (refusal !== undefined) return { ok: false, reply: refuse(context, refusal, handle) };
    if (row !== undefined) rows.push(row);
  }
  return {
    ok: true,
    values: rows.map((row) => attributeValue(table, context.state, connection, row)),
    state: rows.reduce((state, row) => afterReading({ ...context, state }, row), context.state),
    effects: rows.flatMap((row) => readEffects(id, row)),
  };
}
