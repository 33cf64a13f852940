import { address, list, octets, u16, u8, i8 } from '../layout.ts';
import type { Command } from './command.ts';
import { opcode } from './command.ts';

/**
 * Commands that are not of the LE group: link control, baseband, informational and status parameters. Core Vol 4 Part E
 * 7.1, 7.3, 7.4, 7.5; bits of the supported commands: 6.27.
 */
export const generalCommands = {
  disconnect: {
    opcode: opcode(1, 0x06),
    parameters: { handle: u16, reason: u8 },
    returns: undefined,
    supported: [0, 5],
  },
  'read-remote-version': {
    opcode: opcode(1, 0x1d),
    parameters: { handle: u16 },
    returns: undefined,
    supported: [2, 7],
  },
  'set-event-mask': { opcode: opcode(3, 0x01), parameters: { mask: octets(8) }, returns: {}, supported: [5, 6] },
  reset: { opcode: opcode(3, 0x03), parameters: {}, returns: {}, supported: [5, 7] },
  'read-transmit-power': {
    opcode: opcode(3, 0x2d),
    parameters: { handle: u16, which: u8 },
    returns: { handle: u16, power: i8 },
    supported: [10, 2],
  },
  'set-controller-to-host-flow-control': {
    opcode: opcode(3, 0x31),
    parameters: { enable: u8 },
    returns: {},
    supported: [10, 5],
  },
  'host-buffer-size': {
    opcode: opcode(3, 0x33),
    parameters: { aclLength: u16, syncLength: u8, aclCount: u16, syncCount: u16 },
    returns: {},
    supported: [10, 6],
  },
  /** Answered only when something is wrong with it. Core Vol 4 Part E 7.3.40. */
  'host-number-of-completed-packets': {
    opcode: opcode(3, 0x35),
    parameters: { completed: list({ handle: u16, count: u16 }) },
    returns: {},
    supported: [10, 7],
  },
  'set-event-mask-page-2': {
    opcode: opcode(3, 0x63),
    parameters: { mask: octets(8) },
    returns: {},
    supported: [22, 2],
  },
  'read-local-version': {
    opcode: opcode(4, 0x01),
    parameters: {},
    returns: { hciVersion: u8, hciSubversion: u16, lmpVersion: u8, company: u16, lmpSubversion: u16 },
    supported: [14, 3],
  },
  'read-local-supported-commands': {
    opcode: opcode(4, 0x02),
    parameters: {},
    returns: { commands: octets(64) },
    supported: [14, 4],
  },
  'read-local-supported-features': {
    opcode: opcode(4, 0x03),
    parameters: {},
    returns: { features: octets(8) },
    supported: [14, 5],
  },
  'read-buffer-size': {
    opcode: opcode(4, 0x05),
    parameters: {},
    returns: { aclLength: u16, syncLength: u8, aclCount: u16, syncCount: u16 },
    supported: [14, 7],
  },
  'read-bd-addr': { opcode: opcode(4, 0x09), parameters: {}, returns: { address }, supported: [15, 1] },
  'read-rssi': {
    opcode: opcode(5, 0x05),
    parameters: { handle: u16 },
    returns: { handle: u16, rssi: i8 },
    supported: [15, 5],
  },
} as const satisfies Readonly<Record<string, Command>>;
