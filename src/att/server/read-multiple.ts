import { concat, type Bytes } from '../../base/bytes.ts';
import type { Handle } from '../../table/model.ts';
import type { AttRequest } from '../pdu/model.ts';
import { readEffects } from './attribute.ts';
import { afterReading } from './caching.ts';
import { respond, type Context, type Reply } from './context.ts';
import { readableAt, type Found, type Readable } from './readable.ts';

type ReadMultiple = Extract<AttRequest, { kind: 'read-multiple-request' }>;
type ReadMultipleVariable = Extract<AttRequest, { kind: 'read-multiple-variable-request' }>;

/** All values one behind the other, cut at MTU - 1 octets. Core Vol 3 Part F 3.4.4.7. */
export function readMultiple(context: Context, { handles }: ReadMultiple): Reply {
  const all = readAll(context, handles);
  if (!all.ok) return all.refusal;
  const values = concat(...all.found.map(({ value }) => value)).subarray(0, context.connection.mtu - 1);
  const rows = all.found.map(({ row }) => row);
  return respond(
    context,
    { kind: 'read-multiple-response', values },
    afterReading(context, rows),
    readEffects(context.id, rows),
  );
}

/**
 * All values, each behind its whole length; what is over MTU - 1 octets is cut, but never within a length. Core Vol 3
 * Part F 3.4.4.11.
 */
export function readMultipleVariable(context: Context, { handles }: ReadMultipleVariable): Reply {
  const all = readAll(context, handles);
  if (!all.ok) return all.refusal;
  const items: { length: number; value: Bytes }[] = [];
  let room = context.connection.mtu - 1;
  for (const { value } of all.found) {
    if (room < 2) break;
    const shown = value.subarray(0, room - 2);
    items.push({ length: value.length, value: shown });
    room -= 2 + shown.length;
  }
  const rows = all.found.map(({ row }) => row);
  return respond(
    context,
    { kind: 'read-multiple-variable-response', items },
    afterReading(context, rows),
    readEffects(context.id, rows),
  );
}

/** Either every value or the error of the first attribute that cannot be read. */
function readAll(context: Context, handles: readonly Handle[]): Found<readonly Readable[]> {
  const all: Readable[] = [];
  for (const handle of handles) {
    const one = readableAt(context, handle);
    if (!one.ok) return one;
    all.push(one.found);
  }
  return { ok: true, found: all };
}
