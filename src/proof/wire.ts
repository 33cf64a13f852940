import { concat, readU16le, u16le, u8, type Bytes } from '../base/bytes.ts';
import { uuidBytes, type Uuid } from '../base/uuid.ts';
import { opcode } from '../numbers/att-opcodes.ts';
import type { Handle } from '../table/model.ts';

/**
 * ATT PDUs as octets, written down here once more and on purpose without the engine's codec: a proof that used the
 * board's own encoder would share its mistakes. Core Vol 3 Part F section 3.4 throughout.
 */

/** The largest MTU that can be of use, octets: a Prepare Write Request with a whole value of 512. */
export const largestMtu = 517;

export const mtuRequest = (mtu: number): Bytes => concat([opcode.exchangeMtuRequest], u16le(mtu));
export const findInformation = (start: Handle, end: Handle): Bytes =>
  concat([opcode.findInformationRequest], u16le(start), u16le(end));
/** @param type a 16-bit UUID's number: this request takes no other */
export const findByTypeValue = (start: Handle, end: Handle, type: number, value: Bytes): Bytes =>
  concat([opcode.findByTypeValueRequest], u16le(start), u16le(end), u16le(type), value);
export const readByType = (start: Handle, end: Handle, type: Uuid): Bytes =>
  concat([opcode.readByTypeRequest], u16le(start), u16le(end), uuidBytes(type));
export const readByGroupType = (start: Handle, end: Handle, type: Uuid): Bytes =>
  concat([opcode.readByGroupTypeRequest], u16le(start), u16le(end), uuidBytes(type));
export const readRequest = (handle: Handle): Bytes => concat([opcode.readRequest], u16le(handle));
export const readBlob = (handle: Handle, offset: number): Bytes =>
  concat([opcode.readBlobRequest], u16le(handle), u16le(offset));
export const readMultiple = (handles: readonly Handle[]): Bytes =>
  concat([opcode.readMultipleRequest], ...handles.map(u16le));
export const readMultipleVariable = (handles: readonly Handle[]): Bytes =>
  concat([opcode.readMultipleVariableRequest], ...handles.map(u16le));
export const writeRequest = (handle: Handle, value: Bytes): Bytes =>
  concat([opcode.writeRequest], u16le(handle), value);
export const writeCommand = (handle: Handle, value: Bytes): Bytes =>
  concat([opcode.writeCommand], u16le(handle), value);
export const prepareWrite = (handle: Handle, offset: number, part: Bytes): Bytes =>
  concat([opcode.prepareWriteRequest], u16le(handle), u16le(offset), part);
export const executeWrite = (apply: boolean): Bytes => concat([opcode.executeWriteRequest], u8(apply ? 1 : 0));
export const confirmation: Bytes = Uint8Array.of(opcode.handleValueConfirmation);

export const errorResponse = (request: number, handle: Handle, code: number): Bytes =>
  concat([opcode.errorResponse, request], u16le(handle), [code]);
export const readBlobResponse = (part: Bytes): Bytes => concat([opcode.readBlobResponse], part);
export const writeResponse: Bytes = Uint8Array.of(opcode.writeResponse);
export const executeWriteResponse: Bytes = Uint8Array.of(opcode.executeWriteResponse);

/** The parts of an Error Response; `undefined` for anything else. */
export function parseError(pdu: Bytes): { request: number; handle: Handle; code: number } | undefined {
  const handle = readU16le(pdu, 2);
  const request = pdu[1];
  const code = pdu[4];
  if (pdu[0] !== opcode.errorResponse || pdu.length !== 5 || request === undefined || code === undefined)
    return undefined;
  return handle === undefined ? undefined : { request, handle, code };
}

/**
 * The entries of a response that lists equally long ones: opcode, length octet, entries.
 *
 * @returns `undefined` when the length octet does not divide what follows, or nothing follows
 */
export function parseEntries(pdu: Bytes): readonly Bytes[] | undefined {
  const length = pdu[1] ?? 0;
  const list = pdu.subarray(2);
  if (length < 2 || list.length === 0 || list.length % length !== 0) return undefined;
  return pieces(list, length);
}

/** Cuts `list` into pieces of `length` octets. */
export function pieces(list: Bytes, length: number): readonly Bytes[] {
  const out: Bytes[] = [];
  for (let at = 0; at < list.length; at += length) out.push(list.subarray(at, at + length));
  return out;
}
