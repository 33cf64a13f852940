import { attError } from '../../numbers/att-errors.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { AttRequest, AttributeGroup } from '../pdu/model.ts';
import { readRefusal } from './access.ts';
import { attributeValue } from './attribute.ts';
import { refuse, respond, type Context, type Reply } from './context.ts';
import { isRange } from './range.ts';
import { rowsWithin } from './table-index.ts';

type ReadByGroupType = Extract<AttRequest, { kind: 'read-by-group-type-request' }>;

/** Octets of one value in a Read By Group Type Response: its length octet counts both handles too. */
const longestListed = 251;

/**
 * Services with their last handles; within one response, of one length: min(MTU - 6, 251) octets of each declaration.
 * Only service declarations are groups that can be asked for. Core Vol 3 Part F 3.4.4.9, Part G 2.5.3.
 */
export function readByGroupType(context: Context, { start, end, type }: ReadByGroupType): Reply {
  if (!isRange(start, end)) return refuse(context, attError.invalidHandle, start);
  if (type !== attributeType.primaryService && type !== attributeType.secondaryService) {
    return refuse(context, attError.unsupportedGroupType, start);
  }
  const { table, state, connection, index } = context;
  const groups: AttributeGroup[] = [];
  const most = Math.min(connection.mtu - 6, longestListed);
  let room = connection.mtu - 2;
  for (const row of rowsWithin(index.byType.get(type) ?? [], start, end)) {
    const first = groups[0];
    const refusal = readRefusal(state, connection, row);
    if (refusal !== undefined) {
      if (first === undefined) return refuse(context, refusal, row.handle);
      break;
    }
    const value = attributeValue(table, state, connection, row).subarray(0, most);
    if ((first !== undefined && value.length !== first.value.length) || value.length + 4 > room) break;
    groups.push({ handle: row.handle, end: index.groupEnds.get(row.handle) ?? row.handle, value });
    room -= value.length + 4;
  }
  if (groups.length === 0) return refuse(context, attError.attributeNotFound, start);
  return respond(context, { kind: 'read-by-group-type-response', groups });
}
