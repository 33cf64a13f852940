import type { AttRequest } from '../pdu/model.ts';
import { readEffects } from './attribute.ts';
import { afterReading } from './caching.ts';
import { respond, type Context, type Reply } from './context.ts';
import { readableList } from './readable.ts';

type ReadByType = Extract<AttRequest, { kind: 'read-by-type-request' }>;

/** A handle stands before each value, and one octet of the response counts both: 253 octets of value at most. */
const entry = { header: 2, longest: 253 };

/** Values of one type, min(MTU - 4, 253) octets of each. Core Vol 3 Part F 3.4.4.1. */
export function readByType(context: Context, request: ReadByType): Reply {
  const list = readableList(context, request, entry);
  if (!list.ok) return list.refusal;
  const entries = list.found.map(({ row, value }) => ({ handle: row.handle, value }));
  const rows = list.found.map(({ row }) => row);
  return respond(
    context,
    { kind: 'read-by-type-response', entries },
    afterReading(context, rows),
    readEffects(context.id, rows),
  );
}
