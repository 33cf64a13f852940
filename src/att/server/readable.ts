import type { Bytes } from '../../base/bytes.ts';
import type { Uuid } from '../../base/uuid.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Handle, Row } from '../../table/model.ts';
import { readRefusal } from './access.ts';
import { attributeValue } from './attribute.ts';
import { refuse, type Context, type Reply } from './context.ts';
import { isRange } from './range.ts';
import { rowsWithin } from './table-index.ts';

/** An attribute that the client may read, with its whole value. */
export type Readable = { readonly row: Row; readonly value: Bytes };

export type Found<T> = { readonly ok: true; readonly found: T } | { readonly ok: false; readonly refusal: Reply };

/** The attribute at a handle: Invalid Handle before permission before security. */
export function readableAt(context: Context, handle: Handle): Found<Readable> {
  const { table, state, connection, index } = context;
  const row = index.byHandle.get(handle);
  const code = row === undefined ? attError.invalidHandle : readRefusal(state, connection, row);
  if (row === undefined || code !== undefined) {
    return { ok: false, refusal: refuse(context, code ?? attError.invalidHandle, handle) };
  }
  return { ok: true, found: { row, value: attributeValue(table, state, connection, row) } };
}

/**
 * Attributes of one type for one response: values cut at `longest` octets, all of one length, each behind `header`
 * octets, as many as fit MTU - 2. One that the client may not read is an error when it is the first, else it ends the
 * list.
 */
export function readableList(
  context: Context,
  range: { readonly start: Handle; readonly end: Handle; readonly type: Uuid },
  { header, longest }: { readonly header: number; readonly longest: number },
): Found<readonly Readable[]> {
  const { start, end, type } = range;
  if (!isRange(start, end)) return { ok: false, refusal: refuse(context, attError.invalidHandle, start) };
  const { table, state, connection, index } = context;
  const found: Readable[] = [];
  let room = connection.mtu - 2;
  for (const row of rowsWithin(index.byType.get(type) ?? [], start, end)) {
    const first = found[0];
    const code = readRefusal(state, connection, row);
    if (code !== undefined) {
      if (first === undefined) return { ok: false, refusal: refuse(context, code, row.handle) };
      break;
    }
    const whole = attributeValue(table, state, connection, row);
    const value = whole.subarray(0, Math.min(connection.mtu - 2 - header, longest));
    if ((first !== undefined && value.length !== first.value.length) || header + value.length > room) break;
    found.push({ row, value });
    room -= header + value.length;
  }
  if (found.length === 0) return { ok: false, refusal: refuse(context, attError.attributeNotFound, start) };
  return { ok: true, found };
}
