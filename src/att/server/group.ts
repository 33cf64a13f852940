import { attError } from '../../numbers/att-errors.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { AttRequest } from '../pdu/model.ts';
import { refuse, respond, type Context, type Reply } from './context.ts';
import { isRange } from './range.ts';
import { readableList } from './readable.ts';

type ReadByGroupType = Extract<AttRequest, { kind: 'read-by-group-type-request' }>;

/** Two handles stand before each value, and one octet of the response counts all: 251 octets of value at most. */
const entry = { header: 4, longest: 251 };

/**
 * Services with their last handles, min(MTU - 6, 251) octets of each declaration. Only service declarations are groups
 * that can be asked for. Core Vol 3 Part F 3.4.4.9, Part G 2.5.3.
 */
export function readByGroupType(context: Context, request: ReadByGroupType): Reply {
  const { start, end, type } = request;
  if (isRange(start, end) && type !== attributeType.primaryService && type !== attributeType.secondaryService) {
    return refuse(context, attError.unsupportedGroupType, start);
  }
  const list = readableList(context, request, entry);
  if (!list.ok) return list.refusal;
  const { groupEnds } = context.index;
  const groups = list.found.map(({ row, value }) => ({
    handle: row.handle,
    end: groupEnds.get(row.handle) ?? row.handle,
    value,
  }));
  return respond(context, { kind: 'read-by-group-type-response', groups });
}
