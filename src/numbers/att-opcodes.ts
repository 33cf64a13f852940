/** Names of the PDUs by their opcodes. Core Vol 3 Part F 3.4.8. */
export const opcode = {
  errorResponse: 0x01,
  exchangeMtuRequest: 0x02,
  exchangeMtuResponse: 0x03,
  findInformationRequest: 0x04,
  findInformationResponse: 0x05,
  findByTypeValueRequest: 0x06,
  findByTypeValueResponse: 0x07,
  readByTypeRequest: 0x08,
  readByTypeResponse: 0x09,
  readRequest: 0x0a,
  readResponse: 0x0b,
  readBlobRequest: 0x0c,
  readBlobResponse: 0x0d,
  readMultipleRequest: 0x0e,
  readMultipleResponse: 0x0f,
  readByGroupTypeRequest: 0x10,
  readByGroupTypeResponse: 0x11,
  writeRequest: 0x12,
  writeResponse: 0x13,
  prepareWriteRequest: 0x16,
  prepareWriteResponse: 0x17,
  executeWriteRequest: 0x18,
  executeWriteResponse: 0x19,
  handleValueNotification: 0x1b,
  handleValueIndication: 0x1d,
  handleValueConfirmation: 0x1e,
  readMultipleVariableRequest: 0x20,
  readMultipleVariableResponse: 0x21,
  multipleHandleValueNotification: 0x23,
  writeCommand: 0x52,
  signedWriteCommand: 0xd2,
} as const;

/** Who sends a PDU and whether it is answered. Core Vol 3 Part F 3.3. */
export type PduKind = 'request' | 'response' | 'command' | 'notification' | 'indication' | 'confirmation';

export type OpcodeEntry = { readonly code: number; readonly label: string; readonly kind: PduKind };

const rows: readonly (readonly [code: number, label: string, kind: PduKind])[] = [
  [0x01, 'Error Response', 'response'],
  [0x02, 'Exchange MTU Request', 'request'],
  [0x03, 'Exchange MTU Response', 'response'],
  [0x04, 'Find Information Request', 'request'],
  [0x05, 'Find Information Response', 'response'],
  [0x06, 'Find By Type Value Request', 'request'],
  [0x07, 'Find By Type Value Response', 'response'],
  [0x08, 'Read By Type Request', 'request'],
  [0x09, 'Read By Type Response', 'response'],
  [0x0a, 'Read Request', 'request'],
  [0x0b, 'Read Response', 'response'],
  [0x0c, 'Read Blob Request', 'request'],
  [0x0d, 'Read Blob Response', 'response'],
  [0x0e, 'Read Multiple Request', 'request'],
  [0x0f, 'Read Multiple Response', 'response'],
  [0x10, 'Read By Group Type Request', 'request'],
  [0x11, 'Read By Group Type Response', 'response'],
  [0x12, 'Write Request', 'request'],
  [0x13, 'Write Response', 'response'],
  [0x16, 'Prepare Write Request', 'request'],
  [0x17, 'Prepare Write Response', 'response'],
  [0x18, 'Execute Write Request', 'request'],
  [0x19, 'Execute Write Response', 'response'],
  [0x1b, 'Handle Value Notification', 'notification'],
  [0x1d, 'Handle Value Indication', 'indication'],
  [0x1e, 'Handle Value Confirmation', 'confirmation'],
  [0x20, 'Read Multiple Variable Request', 'request'],
  [0x21, 'Read Multiple Variable Response', 'response'],
  [0x23, 'Multiple Handle Value Notification', 'notification'],
  [0x52, 'Write Command', 'command'],
  [0xd2, 'Signed Write Command', 'command'],
];

/** All opcodes of the LE attribute protocol, ascending. */
export const opcodes: readonly OpcodeEntry[] = rows.map(([code, label, kind]) => ({ code, label, kind }));

const byCode = new Map(opcodes.map((entry) => [entry.code, entry]));

export function opcodeEntry(code: number): OpcodeEntry | undefined {
  return byCode.get(code);
}

/** `Read Request`, or `opcode 0x7f` for one that is not assigned. */
export function opcodeLabel(code: number): string {
  return byCode.get(code)?.label ?? `opcode 0x${code.toString(16).padStart(2, '0')}`;
}

/** Bit 6: a command, which is never answered, not even when it is unknown. Core Vol 3 Part F 3.3.1. */
export function isCommand(code: number): boolean {
  return (code & 0x40) !== 0;
}

/** Bit 7: the PDU ends in an authentication signature of 12 octets. Core Vol 3 Part F 3.3.1. */
export function isSigned(code: number): boolean {
  return (code & 0x80) !== 0;
}
