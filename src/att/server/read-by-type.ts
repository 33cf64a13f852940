import type { Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Handle } from '../../table/model.ts';
import type { AttRequest } from '../pdu/model.ts';
import type { ServerEffect } from '../server-model.ts';
import { readRefusal } from './access.ts';
import { attributeValue, readEffects } from './attribute.ts';
import { afterReading } from './caching.ts';
import { refuse, respond, type Context, type Reply } from './context.ts';
import { isRange } from './range.ts';
import { rowsWithin } from './table-index.ts';

type ReadByType = Extract<AttRequest, { kind: 'read-by-type-request' }>;

/** Octets of one value in a Read By Type Response: its length octet counts the handle too. */
const longestListed = 253;

/**
 * Values of one type and, within one response, of one length: min(MTU - 4, 253) octets of each. An attribute that the
 * client may not read is an error when it is the first, else it ends the list. Core Vol 3 Part F 3.4.4.1.
 */
export function readByType(context: Context, { start, end, type }: ReadByType): Reply {
  if (!isRange(start, end)) return refuse(context, attError.invalidHandle, start);
  const { table, connection, id, index } = context;
  let { state } = context;
  const entries: { handle: Handle; value: Bytes }[] = [];
  const effects: ServerEffect[] = [];
  const most = Math.min(connection.mtu - 4, longestListed);
  let room = connection.mtu - 2;
  for (const row of rowsWithin(index.byType.get(type) ?? [], start, end)) {
    const first = entries[0];
    const refusal = readRefusal(state, connection, row);
    if (refusal !== undefined) {
      if (first === undefined) return refuse(context, refusal, row.handle);
      break;
    }
    const value = attributeValue(table, state, connection, row).subarray(0, most);
    if ((first !== undefined && value.length !== first.value.length) || value.length + 2 > room) break;
    entries.push({ handle: row.handle, value });
    effects.push(...readEffects(id, row));
    state = afterReading({ ...context, state }, row);
    room -= value.length + 2;
  }
  if (entries.length === 0) return refuse(context, attError.attributeNotFound, start);
  return respond(context, { kind: 'read-by-type-response', entries }, state, effects);
}
