import { equalBytes, type Bytes } from '../../base/bytes.ts';
import type { Handle } from '../../table/model.ts';
import type { Outcome } from '../link.ts';
import type { AttRequest, AttResponse } from '../pdu/model.ts';
import { broken, plain, unusable, type Procedure } from './procedure.ts';

/**
 * Write Request, or prepared writes for a value longer than MTU - 3 octets. Core Vol 3 Part G 4.9.3 and 4.9.4.
 *
 * @param mtu in force, octets
 */
export function* writeWhole(handle: Handle, value: Bytes, mtu: number): Procedure<void> {
  if (value.length <= mtu - 3) return yield* plain({ kind: 'write-request', handle, value }, 'write-response');
  for (let offset = 0; offset < value.length; offset += mtu - 5) {
    const refused = yield* prepare(handle, offset, value.subarray(offset, offset + mtu - 5));
    if (refused === undefined) continue;
    yield { kind: 'execute-write-request', write: false };
    return refused;
  }
  return yield* plain({ kind: 'execute-write-request', write: true }, 'execute-write-response');
}

/** Queues one part and compares the echo; the reason when it cannot be relied on. */
function* prepare(
  handle: Handle,
  offset: number,
  part: Bytes,
): Generator<AttRequest, Outcome<never> | undefined, AttResponse> {
  const answer = yield { kind: 'prepare-write-request', handle, offset, part };
  if (answer.kind !== 'prepare-write-response') return unusable(answer);
  const same = answer.handle === handle && answer.offset === offset && equalBytes(answer.part, part);
  return same ? undefined : broken(`the Prepare Write Response at offset ${offset} is not the echo of its request`);
}
