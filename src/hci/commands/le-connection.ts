import { address, octets, u16, u8 } from '../layout.ts';
import type { Command } from './command.ts';
import { opcode } from './command.ts';

/**
 * LE commands about connections. Core Vol 4 Part E 7.8. Connection intervals in 1.25 ms, scan intervals and lengths of
 * connection events in 0.625 ms, supervision timeouts in 10 ms.
 */
export const leConnectionCommands = {
  'le-create-connection': {
    opcode: opcode(8, 0x0d),
    parameters: {
      scanInterval: u16,
      scanWindow: u16,
      filterPolicy: u8,
      peerAddressType: u8,
      peerAddress: address,
      ownAddressType: u8,
      intervalMin: u16,
      intervalMax: u16,
      latency: u16,
      timeout: u16,
      eventLengthMin: u16,
      eventLengthMax: u16,
    },
    returns: undefined,
    supported: [26, 4],
  },
  'le-create-connection-cancel': { opcode: opcode(8, 0x0e), parameters: {}, returns: {}, supported: [26, 5] },
  'le-connection-update': {
    opcode: opcode(8, 0x13),
    parameters: {
      handle: u16,
      intervalMin: u16,
      intervalMax: u16,
      latency: u16,
      timeout: u16,
      eventLengthMin: u16,
      eventLengthMax: u16,
    },
    returns: undefined,
    supported: [27, 2],
  },
  'le-set-host-channel-classification': {
    opcode: opcode(8, 0x14),
    parameters: { channelMap: octets(5) },
    returns: {},
    supported: [27, 3],
  },
  'le-read-channel-map': {
    opcode: opcode(8, 0x15),
    parameters: { handle: u16 },
    returns: { handle: u16, channelMap: octets(5) },
    supported: [27, 4],
  },
  'le-read-remote-features': {
    opcode: opcode(8, 0x16),
    parameters: { handle: u16 },
    returns: undefined,
    supported: [27, 5],
  },
  'le-enable-encryption': {
    opcode: opcode(8, 0x19),
    parameters: { handle: u16, random: octets(8), diversifier: u16, key: octets(16) },
    returns: undefined,
    supported: [28, 0],
  },
  'le-long-term-key-request-reply': {
    opcode: opcode(8, 0x1a),
    parameters: { handle: u16, key: octets(16) },
    returns: { handle: u16 },
    supported: [28, 1],
  },
  'le-long-term-key-request-negative-reply': {
    opcode: opcode(8, 0x1b),
    parameters: { handle: u16 },
    returns: { handle: u16 },
    supported: [28, 2],
  },
  'le-remote-connection-parameter-request-reply': {
    opcode: opcode(8, 0x20),
    parameters: {
      handle: u16,
      intervalMin: u16,
      intervalMax: u16,
      latency: u16,
      timeout: u16,
      eventLengthMin: u16,
      eventLengthMax: u16,
    },
    returns: { handle: u16 },
    supported: [33, 4],
  },
  'le-remote-connection-parameter-request-negative-reply': {
    opcode: opcode(8, 0x21),
    parameters: { handle: u16, reason: u8 },
    returns: { handle: u16 },
    supported: [33, 5],
  },
  /** Octets 27..251, time 328..17040 µs. */
  'le-set-data-length': {
    opcode: opcode(8, 0x22),
    parameters: { handle: u16, txOctets: u16, txTime: u16 },
    returns: { handle: u16 },
    supported: [33, 6],
  },
  'le-read-default-data-length': {
    opcode: opcode(8, 0x23),
    parameters: {},
    returns: { txOctets: u16, txTime: u16 },
    supported: [33, 7],
  },
  'le-write-default-data-length': {
    opcode: opcode(8, 0x24),
    parameters: { txOctets: u16, txTime: u16 },
    returns: {},
    supported: [34, 0],
  },
  'le-read-max-data-length': {
    opcode: opcode(8, 0x2f),
    parameters: {},
    returns: { txOctets: u16, txTime: u16, rxOctets: u16, rxTime: u16 },
    supported: [35, 3],
  },
  /** 1 = 1M, 2 = 2M, 3 = coded. */
  'le-read-phy': {
    opcode: opcode(8, 0x30),
    parameters: { handle: u16 },
    returns: { handle: u16, txPhy: u8, rxPhy: u8 },
    supported: [35, 4],
  },
  /** Bits of `allPhys`: 0 = no preference to send, 1 = to receive; of the others: 0 = 1M, 1 = 2M, 2 = coded. */
  'le-set-default-phy': {
    opcode: opcode(8, 0x31),
    parameters: { allPhys: u8, txPhys: u8, rxPhys: u8 },
    returns: {},
    supported: [35, 5],
  },
  /** `options`: 0 = no preference, 1 = S=2, 2 = S=8 on the coded PHY. */
  'le-set-phy': {
    opcode: opcode(8, 0x32),
    parameters: { handle: u16, allPhys: u8, txPhys: u8, rxPhys: u8, options: u16 },
    returns: undefined,
    supported: [35, 6],
  },
} as const satisfies Readonly<Record<string, Command>>;
