import { concat, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Handle } from '../../table/model.ts';
import { success } from '../link.ts';
import { longestValue } from '../pdu/model.ts';
import { broken, unusable, type Procedure } from './procedure.ts';

/**
 * The whole value: Read, then Read Blob as long as responses are full. Core Vol 3 Part G 4.8.1 and 4.8.3. A server may
 * say at the end that the value is not long, or the offset behind it.
 *
 * @param mtu in force, octets
 */
export function* readWhole(handle: Handle, mtu: number): Procedure<Bytes> {
  const first = yield { kind: 'read-request', handle };
  if (first.kind !== 'read-response') return unusable(first);
  let value = first.value;
  let full = value.length === mtu - 1;
  while (full) {
    const answer = yield { kind: 'read-blob-request', handle, offset: value.length };
    if (answer.kind === 'error-response' && isEnd(answer.code)) break;
    if (answer.kind !== 'read-blob-response') return unusable(answer);
    value = concat(value, answer.part);
    if (value.length > longestValue) {
      return broken(`a value of ${value.length} octets or more was read, at most ${longestValue} are allowed`);
    }
    full = answer.part.length === mtu - 1;
  }
  return success(value);
}

function isEnd(code: number): boolean {
  return code === attError.attributeNotLong || code === attError.invalidOffset;
}
