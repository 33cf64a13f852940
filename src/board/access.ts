import { readU16le, type Bytes } from '../base/bytes.ts';
import { opcode } from '../numbers/att-opcodes.ts';
import type { Handle, Table } from '../table/model.ts';
import type { LastAccess } from './model.ts';

/** What a PDU from the board says about values: carried to a client, or refused to it. */
export type Observed =
  | { readonly kind: 'carried'; readonly index: number; readonly how: LastAccess['how'] }
  | { readonly kind: 'refused'; readonly index: number; readonly access: 'read' | 'write'; readonly code: number };

const readRequests: ReadonlySet<number> = new Set([
  opcode.readRequest,
  opcode.readBlobRequest,
  opcode.readMultipleRequest,
  opcode.readMultipleVariableRequest,
]);
const writeRequests: ReadonlySet<number> = new Set([
  opcode.writeRequest,
  opcode.prepareWriteRequest,
  opcode.executeWriteRequest,
]);

/** Value index by the handle of the value. */
export function indexByHandle(table: Table): ReadonlyMap<Handle, number> {
  return new Map(table.values.map(({ handle, index }) => [handle, index]));
}

/**
 * Reads what the board is about to send: notifications, indications and refusals of accesses to a value. Searches that
 * end in Attribute Not Found are not refusals.
 */
export function observe(pdu: Bytes, values: ReadonlyMap<Handle, number>): readonly Observed[] {
  const carried = (offset: number, how: LastAccess['how']): readonly Observed[] => {
    const index = values.get(readU16le(pdu, offset) ?? 0);
    return index === undefined ? [] : [{ kind: 'carried', index, how }];
  };
  switch (pdu[0]) {
    case opcode.handleValueNotification:
      return carried(1, 'notified');
    case opcode.handleValueIndication:
      return carried(1, 'indicated');
    case opcode.multipleHandleValueNotification: {
      const all: Observed[] = [];
      // Handle and length of 2 octets each in front of every value (Core Vol 3 Part F 3.4.7.4).
      for (let offset = 1; offset + 4 <= pdu.length; offset += 4 + (readU16le(pdu, offset + 2) ?? 0)) {
        all.push(...carried(offset, 'notified'));
      }
      return all;
    }
    case opcode.errorResponse: {
      const request = pdu[1] ?? 0;
      const access = readRequests.has(request) ? 'read' : writeRequests.has(request) ? 'write' : undefined;
      const index = values.get(readU16le(pdu, 2) ?? 0);
      if (access === undefined || index === undefined) return [];
      return [{ kind: 'refused', index, access, code: pdu[4] ?? 0 }];
    }
    default:
      return [];
  }
}
