import { readU16le, type Bytes } from '../../base/bytes.ts';
import { uuidFromBytes, type Uuid } from '../../base/uuid.ts';
import { opcode, opcodeLabel } from '../../numbers/att-opcodes.ts';
import type { Handle } from '../../table/model.ts';
import { hex8 } from '../hexadecimal.ts';
import { signatureLength, type AttPdu, type MalformedPdu } from './model.ts';

/**
 * Reads a PDU. Total: octets that are no PDU come back as `malformed` with the reason. Values are copies, so the
 * caller's buffer may be used again.
 */
export function decodePdu(bytes: Bytes): AttPdu | MalformedPdu {
  const code = bytes[0];
  if (code === undefined) {
    return { kind: 'malformed', opcode: undefined, reason: 'empty', why: 'a PDU of no octets has no opcode' };
  }
  const read = decoders[code];
  if (read === undefined) {
    return { kind: 'malformed', opcode: code, reason: 'unknown-opcode', why: `${opcodeLabel(code)} is not assigned` };
  }
  const outcome = read(bytes);
  if (outcome.kind !== 'fault') return outcome;
  const found = `${opcodeLabel(code)} of ${bytes.length} octet${bytes.length === 1 ? '' : 's'}`;
  return { kind: 'malformed', opcode: code, reason: outcome.reason, why: `${found}: ${outcome.text}` };
}

type Decoder = (bytes: Bytes) => AttPdu | Fault;

/** What is wrong with the octets, as the end of a sentence. */
type Fault = { readonly kind: 'fault'; readonly reason: 'length' | 'content'; readonly text: string };

function wrongLength(allowed: string): Fault {
  return { kind: 'fault', reason: 'length', text: `its length must be ${allowed}` };
}

function wrongContent(text: string): Fault {
  return { kind: 'fault', reason: 'content', text };
}

/** A PDU of exactly `length` octets. */
function exactly(length: number, read: Decoder): Decoder {
  return (bytes) => (bytes.length === length ? read(bytes) : wrongLength(String(length)));
}

/** A PDU of `least` octets or more. */
function atLeast(least: number, read: Decoder): Decoder {
  return (bytes) => (bytes.length >= least ? read(bytes) : wrongLength(`${least} or more`));
}

/** A list with at least `least` entries of `size` octets each behind the opcode. */
function listOf(size: number, least: number, read: Decoder): Decoder {
  return (bytes) => {
    const rest = bytes.length - 1;
    if (rest >= least * size && rest % size === 0) return read(bytes);
    return wrongLength(`1 + ${size} × n, n at least ${least}`);
  };
}

const decoders: Readonly<Partial<Record<number, Decoder>>> = {
  [opcode.errorResponse]: exactly(5, (b) => ({
    kind: 'error-response',
    request: u8(b, 1),
    handle: u16(b, 2),
    code: u8(b, 4),
  })),
  [opcode.exchangeMtuRequest]: exactly(3, (b) => ({ kind: 'exchange-mtu-request', mtu: u16(b, 1) })),
  [opcode.exchangeMtuResponse]: exactly(3, (b) => ({ kind: 'exchange-mtu-response', mtu: u16(b, 1) })),
  [opcode.findInformationRequest]: exactly(5, (b) => ({
    kind: 'find-information-request',
    start: u16(b, 1),
    end: u16(b, 3),
  })),
  [opcode.findInformationResponse]: atLeast(6, findInformationResponse),
  [opcode.findByTypeValueRequest]: atLeast(7, (b) => {
    const type = uuidFromBytes(b.slice(5, 7));
    if (type === undefined) return notUuid;
    return { kind: 'find-by-type-value-request', start: u16(b, 1), end: u16(b, 3), type, value: b.slice(7) };
  }),
  [opcode.findByTypeValueResponse]: listOf(4, 1, (b) => ({
    kind: 'find-by-type-value-response',
    found: parts(b, 1, 4).map((at) => ({ handle: u16(b, at), end: u16(b, at + 2) })),
  })),
  [opcode.readByTypeRequest]: typeAndRange((start, end, type) => ({ kind: 'read-by-type-request', start, end, type })),
  [opcode.readByTypeResponse]: atLeast(4, readByTypeResponse),
  [opcode.readRequest]: exactly(3, (b) => ({ kind: 'read-request', handle: u16(b, 1) })),
  [opcode.readResponse]: atLeast(1, (b) => ({ kind: 'read-response', value: b.slice(1) })),
  [opcode.readBlobRequest]: exactly(5, (b) => ({ kind: 'read-blob-request', handle: u16(b, 1), offset: u16(b, 3) })),
  [opcode.readBlobResponse]: atLeast(1, (b) => ({ kind: 'read-blob-response', part: b.slice(1) })),
  [opcode.readMultipleRequest]: listOf(2, 2, (b) => ({
    kind: 'read-multiple-request',
    handles: parts(b, 1, 2).map((at) => u16(b, at)),
  })),
  [opcode.readMultipleResponse]: atLeast(1, (b) => ({ kind: 'read-multiple-response', values: b.slice(1) })),
  [opcode.readByGroupTypeRequest]: typeAndRange((start, end, type) => ({
    kind: 'read-by-group-type-request',
    start,
    end,
    type,
  })),
  [opcode.readByGroupTypeResponse]: atLeast(6, readByGroupTypeResponse),
  [opcode.writeRequest]: atLeast(3, (b) => ({ kind: 'write-request', handle: u16(b, 1), value: b.slice(3) })),
  [opcode.writeResponse]: exactly(1, () => ({ kind: 'write-response' })),
  [opcode.prepareWriteRequest]: atLeast(5, (b) => ({
    kind: 'prepare-write-request',
    handle: u16(b, 1),
    offset: u16(b, 3),
    part: b.slice(5),
  })),
  [opcode.prepareWriteResponse]: atLeast(5, (b) => ({
    kind: 'prepare-write-response',
    handle: u16(b, 1),
    offset: u16(b, 3),
    part: b.slice(5),
  })),
  [opcode.executeWriteRequest]: exactly(2, (b) => {
    const flags = u8(b, 1);
    return flags > 1
      ? wrongContent(`its flags are ${hex8(flags)}, only 0x00 (cancel) and 0x01 (write) are assigned`)
      : { kind: 'execute-write-request', write: flags === 1 };
  }),
  [opcode.executeWriteResponse]: exactly(1, () => ({ kind: 'execute-write-response' })),
  [opcode.readMultipleVariableRequest]: listOf(2, 2, (b) => ({
    kind: 'read-multiple-variable-request',
    handles: parts(b, 1, 2).map((at) => u16(b, at)),
  })),
  [opcode.readMultipleVariableResponse]: atLeast(3, readMultipleVariableResponse),
  [opcode.handleValueNotification]: atLeast(3, (b) => ({
    kind: 'handle-value-notification',
    handle: u16(b, 1),
    value: b.slice(3),
  })),
  [opcode.handleValueIndication]: atLeast(3, (b) => ({
    kind: 'handle-value-indication',
    handle: u16(b, 1),
    value: b.slice(3),
  })),
  [opcode.handleValueConfirmation]: exactly(1, () => ({ kind: 'handle-value-confirmation' })),
  [opcode.multipleHandleValueNotification]: atLeast(9, multipleHandleValueNotification),
  [opcode.writeCommand]: atLeast(3, (b) => ({ kind: 'write-command', handle: u16(b, 1), value: b.slice(3) })),
  [opcode.signedWriteCommand]: atLeast(3 + signatureLength, (b) => ({
    kind: 'signed-write-command',
    handle: u16(b, 1),
    value: b.slice(3, b.length - signatureLength),
    signature: b.slice(b.length - signatureLength),
  })),
};

const notUuid = wrongContent('its attribute type is no UUID');

/** Start, end and a type of 2 or 16 octets. */
function typeAndRange(make: (start: Handle, end: Handle, type: Uuid) => AttPdu): Decoder {
  return (b) => {
    if (b.length !== 7 && b.length !== 21) return wrongLength('7 or 21');
    const type = uuidFromBytes(b.slice(5));
    return type === undefined ? notUuid : make(u16(b, 1), u16(b, 3), type);
  };
}

function findInformationResponse(b: Bytes): AttPdu | Fault {
  const format = u8(b, 1);
  if (format !== 1 && format !== 2)
    return wrongContent(`its format is ${hex8(format)}, only 0x01 and 0x02 are assigned`);
  const size = format === 1 ? 4 : 18;
  if ((b.length - 2) % size !== 0) return wrongLength(`2 + ${size} × n at format ${format}`);
  const entries: { handle: Handle; type: Uuid }[] = [];
  for (const at of parts(b, 2, size)) {
    const type = uuidFromBytes(b.slice(at + 2, at + size));
    if (type === undefined) return notUuid;
    entries.push({ handle: u16(b, at), type });
  }
  return { kind: 'find-information-response', entries };
}

function readByTypeResponse(b: Bytes): AttPdu | Fault {
  const size = u8(b, 1);
  if (size < 2) return wrongContent(`the length of its entries is ${size}, at least 2 is due`);
  if ((b.length - 2) % size !== 0) return wrongLength(`2 + ${size} × n for entries of ${size} octets`);
  return {
    kind: 'read-by-type-response',
    entries: parts(b, 2, size).map((at) => ({ handle: u16(b, at), value: b.slice(at + 2, at + size) })),
  };
}

function readByGroupTypeResponse(b: Bytes): AttPdu | Fault {
  const size = u8(b, 1);
  if (size < 4) return wrongContent(`the length of its entries is ${size}, at least 4 is due`);
  if ((b.length - 2) % size !== 0) return wrongLength(`2 + ${size} × n for entries of ${size} octets`);
  return {
    kind: 'read-by-group-type-response',
    groups: parts(b, 2, size).map((at) => ({
      handle: u16(b, at),
      end: u16(b, at + 2),
      value: b.slice(at + 4, at + size),
    })),
  };
}

/** The last value may be cut by the MTU; a length alone, without one octet of a value that has some, may stand last. */
function readMultipleVariableResponse(b: Bytes): AttPdu | Fault {
  const items: { length: number; value: Bytes }[] = [];
  let at = 1;
  while (at < b.length) {
    if (at + 2 > b.length) return wrongContent('its last length is cut');
    const length = u16(b, at);
    items.push({ length, value: b.slice(at + 2, at + 2 + length) });
    at += 2 + length;
  }
  return { kind: 'read-multiple-variable-response', items };
}

function multipleHandleValueNotification(b: Bytes): AttPdu | Fault {
  const items: { handle: Handle; value: Bytes }[] = [];
  let at = 1;
  while (at < b.length) {
    const end = at + 4 + (readU16le(b, at + 2) ?? b.length);
    if (end > b.length) return wrongContent(`its value ${items.length + 1} ends behind the PDU`);
    items.push({ handle: u16(b, at), value: b.slice(at + 4, end) });
    at = end;
  }
  return items.length < 2
    ? wrongContent('it holds one value, at least two are due')
    : { kind: 'multiple-handle-value-notification', items };
}

/** Offsets of entries of `size` octets from `first` on. */
function parts(bytes: Bytes, first: number, size: number): number[] {
  const offsets: number[] = [];
  for (let at = first; at + size <= bytes.length; at += size) offsets.push(at);
  return offsets;
}

/** The length of the PDU was checked before. */
function u8(bytes: Bytes, at: number): number {
  return bytes[at] ?? 0;
}

function u16(bytes: Bytes, at: number): number {
  return readU16le(bytes, at) ?? 0;
}
