import { attError } from '../../numbers/att-errors.ts';
import type { AttRequest } from '../pdu/model.ts';
import { lengthLimits, readEffects } from './attribute.ts';
import { afterReading } from './caching.ts';
import { refuse, respond, type Context, type Reply } from './context.ts';
import { readableAt } from './readable.ts';

type Read = Extract<AttRequest, { kind: 'read-request' }>;
type ReadBlob = Extract<AttRequest, { kind: 'read-blob-request' }>;

/** The first MTU - 1 octets of the value. Core Vol 3 Part F 3.4.4.3. */
export function read(context: Context, { handle }: Read): Reply {
  const target = readableAt(context, handle);
  if (!target.ok) return target.refusal;
  const { row, value } = target.found;
  return respond(
    context,
    { kind: 'read-response', value: value.subarray(0, context.connection.mtu - 1) },
    afterReading(context, [row]),
    readEffects(context.id, [row]),
  );
}

/**
 * MTU - 1 octets of the value from an offset on; none when the offset is the value's length. A value of fixed length
 * that fits one response is Attribute Not Long, as Core Vol 3 Part F 3.4.4.5 allows.
 */
export function readBlob(context: Context, { handle, offset }: ReadBlob): Reply {
  const target = readableAt(context, handle);
  if (!target.ok) return target.refusal;
  const { row, value } = target.found;
  if (offset > value.length) return refuse(context, attError.invalidOffset, handle);
  const room = context.connection.mtu - 1;
  const { min, max } = lengthLimits(context.table, row);
  if (min === max && value.length <= room) return refuse(context, attError.attributeNotLong, handle);
  return respond(
    context,
    { kind: 'read-blob-response', part: value.subarray(offset, offset + room) },
    afterReading(context, [row]),
    readEffects(context.id, [row]),
  );
}
