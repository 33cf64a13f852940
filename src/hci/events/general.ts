import { list, rest, u16, u8 } from '../layout.ts';
import type { EventDeclaration } from './event.ts';

/** Events that are not LE meta events. Core Vol 4 Part E 7.7. */
export const generalEvents = {
  'disconnection-complete': { code: 0x05, parameters: { status: u8, handle: u16, reason: u8 } },
  'encryption-change': { code: 0x08, parameters: { status: u8, handle: u16, enabled: u8 } },
  'remote-version-complete': {
    code: 0x0c,
    parameters: { status: u8, handle: u16, version: u8, company: u16, subversion: u16 },
  },
  /** `returns`: status first. Num_HCI_Command_Packets is `credit`. */
  'command-complete': { code: 0x0e, parameters: { credit: u8, opcode: u16, returns: rest } },
  'command-status': { code: 0x0f, parameters: { status: u8, credit: u8, opcode: u16 } },
  'hardware-error': { code: 0x10, parameters: { code: u8 } },
  'number-of-completed-packets': { code: 0x13, parameters: { completed: list({ handle: u16, count: u16 }) } },
  'data-buffer-overflow': { code: 0x1a, parameters: { linkType: u8 } },
  'encryption-key-refresh-complete': { code: 0x30, parameters: { status: u8, handle: u16 } },
  vendor: { code: 0xff, parameters: { octets: rest } },
} as const satisfies Readonly<Record<string, EventDeclaration>>;

export const leMetaCode = 0x3e;
