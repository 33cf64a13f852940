import { equalBytes } from '../../base/bytes.ts';
import { isShortUuid, type Uuid } from '../../base/uuid.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Handle } from '../../table/model.ts';
import type { AttRequest } from '../pdu/model.ts';
import { readRefusal } from './access.ts';
import { attributeValue } from './attribute.ts';
import { refuse, respond, type Context, type Reply } from './context.ts';
import { isRange } from './range.ts';
import { rowsWithin } from './table-index.ts';

type FindInformation = Extract<AttRequest, { kind: 'find-information-request' }>;
type FindByTypeValue = Extract<AttRequest, { kind: 'find-by-type-value-request' }>;

/** Handles and types, as many as fit: 4 octets each, or 18 for 128-bit types. Core Vol 3 Part F 3.4.3.1. */
export function findInformation(context: Context, { start, end }: FindInformation): Reply {
  if (!isRange(start, end)) return refuse(context, attError.invalidHandle, start);
  const entries: { handle: Handle; type: Uuid }[] = [];
  let room = context.connection.mtu - 2;
  let short: boolean | undefined;
  for (const { handle, type } of rowsWithin(context.table.rows, start, end)) {
    short ??= isShortUuid(type);
    const size = short ? 4 : 18;
    if (isShortUuid(type) !== short || size > room) break;
    entries.push({ handle, type });
    room -= size;
  }
  if (entries.length === 0) return refuse(context, attError.attributeNotFound, start);
  return respond(context, { kind: 'find-information-response', entries });
}

/**
 * Attributes with this 16-bit type and exactly this value, and where their groups end. What the client may not read
 * is not found. Core Vol 3 Part F 3.4.3.3.
 */
export function findByTypeValue(context: Context, request: FindByTypeValue): Reply {
  const { start, end, type, value } = request;
  if (!isRange(start, end)) return refuse(context, attError.invalidHandle, start);
  const { table, state, connection, index } = context;
  const found: { handle: Handle; end: Handle }[] = [];
  const most = Math.floor((connection.mtu - 1) / 4);
  for (const row of rowsWithin(index.byType.get(type) ?? [], start, end)) {
    if (found.length === most) break;
    if (readRefusal(state, connection, row) !== undefined) continue;
    if (!equalBytes(attributeValue(table, state, connection, row), value)) continue;
    found.push({ handle: row.handle, end: index.groupEnds.get(row.handle) ?? row.handle });
  }
  if (found.length === 0) return refuse(context, attError.attributeNotFound, start);
  return respond(context, { kind: 'find-by-type-value-response', found });
}
