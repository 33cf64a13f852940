import { bug, unreachable } from '../../base/bug.ts';
import { concat, fromHex, reversed, type Bytes } from '../../base/bytes.ts';
import { isShortUuid, longUuid, uuidBytes, type Uuid } from '../../base/uuid.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Handle } from '../../table/model.ts';
import type { AttPdu } from './model.ts';

/** The octets of a PDU. Knows no MTU: whoever makes a PDU sees to its length. */
export function encodePdu(pdu: AttPdu): Bytes {
  switch (pdu.kind) {
    case 'error-response':
      return Uint8Array.of(opcode.errorResponse, pdu.request, ...u16(pdu.handle), pdu.code);
    case 'exchange-mtu-request':
      return Uint8Array.of(opcode.exchangeMtuRequest, ...u16(pdu.mtu));
    case 'exchange-mtu-response':
      return Uint8Array.of(opcode.exchangeMtuResponse, ...u16(pdu.mtu));
    case 'find-information-request':
      return Uint8Array.of(opcode.findInformationRequest, ...u16(pdu.start), ...u16(pdu.end));
    case 'find-information-response':
      return findInformationResponse(pdu.entries);
    case 'find-by-type-value-request':
      return concat(
        [opcode.findByTypeValueRequest, ...u16(pdu.start), ...u16(pdu.end)],
        uuidBytes(pdu.type),
        pdu.value,
      );
    case 'find-by-type-value-response':
      return Uint8Array.of(
        opcode.findByTypeValueResponse,
        ...pdu.found.flatMap(({ handle, end }) => [...u16(handle), ...u16(end)]),
      );
    case 'read-by-type-request':
      return concat([opcode.readByTypeRequest, ...u16(pdu.start), ...u16(pdu.end)], uuidBytes(pdu.type));
    case 'read-by-type-response':
      return concat(
        [opcode.readByTypeResponse, 2 + (pdu.entries[0]?.value.length ?? 0)],
        ...pdu.entries.flatMap(({ handle, value }) => [u16(handle), value]),
      );
    case 'read-request':
      return Uint8Array.of(opcode.readRequest, ...u16(pdu.handle));
    case 'read-response':
      return concat([opcode.readResponse], pdu.value);
    case 'read-blob-request':
      return Uint8Array.of(opcode.readBlobRequest, ...u16(pdu.handle), ...u16(pdu.offset));
    case 'read-blob-response':
      return concat([opcode.readBlobResponse], pdu.part);
    case 'read-multiple-request':
      return Uint8Array.of(opcode.readMultipleRequest, ...pdu.handles.flatMap(u16));
    case 'read-multiple-response':
      return concat([opcode.readMultipleResponse], pdu.values);
    case 'read-by-group-type-request':
      return concat([opcode.readByGroupTypeRequest, ...u16(pdu.start), ...u16(pdu.end)], uuidBytes(pdu.type));
    case 'read-by-group-type-response':
      return concat(
        [opcode.readByGroupTypeResponse, 4 + (pdu.groups[0]?.value.length ?? 0)],
        ...pdu.groups.flatMap(({ handle, end, value }) => [u16(handle), u16(end), value]),
      );
    case 'write-request':
      return concat([opcode.writeRequest, ...u16(pdu.handle)], pdu.value);
    case 'write-response':
      return Uint8Array.of(opcode.writeResponse);
    case 'prepare-write-request':
      return concat([opcode.prepareWriteRequest, ...u16(pdu.handle), ...u16(pdu.offset)], pdu.part);
    case 'prepare-write-response':
      return concat([opcode.prepareWriteResponse, ...u16(pdu.handle), ...u16(pdu.offset)], pdu.part);
    case 'execute-write-request':
      return Uint8Array.of(opcode.executeWriteRequest, pdu.write ? 1 : 0);
    case 'execute-write-response':
      return Uint8Array.of(opcode.executeWriteResponse);
    case 'read-multiple-variable-request':
      return Uint8Array.of(opcode.readMultipleVariableRequest, ...pdu.handles.flatMap(u16));
    case 'read-multiple-variable-response':
      return concat(
        [opcode.readMultipleVariableResponse],
        ...pdu.items.flatMap(({ length, value }) => [u16(length), value]),
      );
    case 'handle-value-notification':
      return concat([opcode.handleValueNotification, ...u16(pdu.handle)], pdu.value);
    case 'handle-value-indication':
      return concat([opcode.handleValueIndication, ...u16(pdu.handle)], pdu.value);
    case 'handle-value-confirmation':
      return Uint8Array.of(opcode.handleValueConfirmation);
    case 'multiple-handle-value-notification':
      return concat(
        [opcode.multipleHandleValueNotification],
        ...pdu.items.flatMap(({ handle, value }) => [[...u16(handle), ...u16(value.length)], value]),
      );
    case 'write-command':
      return concat([opcode.writeCommand, ...u16(pdu.handle)], pdu.value);
    case 'signed-write-command':
      return concat([opcode.signedWriteCommand, ...u16(pdu.handle)], pdu.value, pdu.signature);
    default:
      return unreachable(pdu);
  }
}

/** Format 1: 16-bit UUIDs; format 2: 128-bit. */
function findInformationResponse(entries: readonly { readonly handle: Handle; readonly type: Uuid }[]): Bytes {
  const short = entries.every(({ type }) => isShortUuid(type));
  return concat(
    [opcode.findInformationResponse, short ? 1 : 2],
    ...entries.flatMap(({ handle, type }) => [u16(handle), short ? uuidBytes(type) : longUuidBytes(type)]),
  );
}

function longUuidBytes(uuid: Uuid): Bytes {
  const bytes = fromHex(longUuid(uuid));
  bug(bytes !== undefined, `no UUID: ${uuid}`);
  return reversed(bytes);
}

function u16(value: number): readonly [low: number, high: number] {
  return [value & 0xff, (value >>> 8) & 0xff];
}
