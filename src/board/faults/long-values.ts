import { concat, readU16le } from '../../base/bytes.ts';
import type { PreparedWrite } from '../../att/server-model.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Fault } from '../model.ts';
import { patchConnections, received, requestOf, sent, stateAfter, stateBefore, type Wrap } from './plant.ts';

// Faults in values longer than one PDU.

/** Changes the queue of prepared writes just before it is executed. */
function beforeExecution(change: (queue: readonly PreparedWrite[]) => readonly PreparedWrite[]): Wrap {
  return stateBefore((state, event) =>
    event.kind === 'received' && event.pdu[0] === opcode.executeWriteRequest
      ? patchConnections(state, (each, id) =>
          id === event.connection ? { ...each, prepared: change(each.prepared) } : each,
        )
      : state,
  );
}

/** Each part directly behind the one before it. */
function closeGaps(queue: readonly PreparedWrite[]): readonly PreparedWrite[] {
  const ends = new Map<number, number>();
  return queue.map((write) => {
    const end = ends.get(write.handle) ?? 0;
    const offset = Math.min(write.offset, end);
    ends.set(write.handle, offset + write.part.length);
    return { ...write, offset };
  });
}

export const longValueFaults: readonly Fault[] = [
  {
    name: 'long-read-cut',
    about: 'A value longer than one response is cut there: every Read Blob is answered with nothing.',
    symptom: 'Texts end after 22 octets.',
    wrap: sent((pdu) => [pdu[0] === opcode.readBlobResponse ? pdu.subarray(0, 1) : pdu]),
  },
  {
    name: 'blob-offset-ignored',
    about: 'Read Blob always answers from the beginning of the value.',
    symptom: 'A long text repeats its beginning.',
    wrap: received((pdu) =>
      pdu[0] === opcode.readBlobRequest && pdu.length === 5 ? concat(pdu.subarray(0, 3), [0, 0]) : pdu,
    ),
  },
  {
    name: 'blob-past-end-answered',
    about: 'Read Blob behind the end of a value is answered with nothing instead of Invalid Offset.',
    symptom: 'A client that counts on the error never stops asking.',
    wrap: sent((pdu) => [
      pdu[0] === opcode.errorResponse && pdu[1] === opcode.readBlobRequest && pdu[4] === attError.invalidOffset
        ? Uint8Array.of(opcode.readBlobResponse)
        : pdu,
    ]),
  },
  {
    name: 'cancel-executes',
    about: 'Cancelling prepared writes carries them out.',
    symptom: 'What the client took back is there all the same.',
    wrap: received((pdu) =>
      pdu[0] === opcode.executeWriteRequest && pdu.length === 2 ? Uint8Array.of(opcode.executeWriteRequest, 1) : pdu,
    ),
  },
  {
    name: 'queue-never-cleared',
    about: 'Prepared writes stay in the queue after they were executed or cancelled.',
    symptom: 'The second long write also writes the first again, and at last the queue is full.',
    wrap: stateAfter(({ event, before, after }) =>
      event.kind === 'received' && event.pdu[0] === opcode.executeWriteRequest
        ? patchConnections(after, (each, id) => ({
            ...each,
            prepared: before.server.connections.get(id)?.prepared ?? each.prepared,
          }))
        : after,
    ),
  },
  {
    name: 'gap-accepted',
    about: 'Prepared writes that leave a gap are put together as if there were none.',
    symptom: 'A lost part is not noticed, and the value is another one.',
    wrap: beforeExecution(closeGaps),
  },
  {
    name: 'last-part-lost',
    about: 'The last part of a long write is not stored.',
    symptom: 'Long texts lose their end.',
    wrap: beforeExecution((queue) => (queue.length > 1 ? queue.slice(0, -1) : queue)),
  },
  {
    name: 'prepare-not-echoed',
    about: 'The answer to a Prepare Write does not repeat the part that was sent.',
    symptom: 'A client that checks what arrived cancels every long write.',
    wrap: sent((pdu) => [pdu[0] === opcode.prepareWriteResponse ? pdu.subarray(0, 5) : pdu]),
  },
  {
    name: 'long-value-shares-one-buffer',
    about: 'Every Prepare Write is kept as if it were for the first handle in the queue.',
    symptom: 'Two values written together end up in one.',
    wrap: beforeExecution((queue) => queue.map((write) => ({ ...write, handle: queue[0]?.handle ?? write.handle }))),
  },
  {
    name: 'read-beyond-mtu',
    about: 'Read answers with the whole value, however small the MTU is.',
    symptom: 'The radio cuts the packet, or the client drops it.',
    wrap: sent((pdu, { table, event, after }) => {
      const request = requestOf(event);
      if (pdu[0] !== opcode.readResponse || request?.[0] !== opcode.readRequest) return [pdu];
      const handle = readU16le(request, 1);
      const definition = table.values.find((value) => value.handle === handle);
      const value = definition === undefined ? undefined : after.server.values[definition.index];
      return [value === undefined ? pdu : concat([opcode.readResponse], value)];
    }),
  },
];
