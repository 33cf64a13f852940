import { address, i8, legacyData, octets, u16, u8 } from '../layout.ts';
import type { Command } from './command.ts';
import { opcode } from './command.ts';

/** LE commands about the controller itself, advertising, scanning and its lists. Core Vol 4 Part E 7.8. */
export const leAdvertiseScanCommands = {
  'le-set-event-mask': { opcode: opcode(8, 0x01), parameters: { mask: octets(8) }, returns: {}, supported: [25, 0] },
  'le-read-buffer-size': {
    opcode: opcode(8, 0x02),
    parameters: {},
    returns: { aclLength: u16, aclCount: u8 },
    supported: [25, 1],
  },
  'le-read-local-features': {
    opcode: opcode(8, 0x03),
    parameters: {},
    returns: { features: octets(8) },
    supported: [25, 2],
  },
  'le-set-random-address': { opcode: opcode(8, 0x05), parameters: { address }, returns: {}, supported: [25, 4] },
  /** Intervals in 0.625 ms; type 0 = ADV_IND, 1 and 4 = directed, 2 = scannable, 3 = non-connectable. */
  'le-set-advertising-parameters': {
    opcode: opcode(8, 0x06),
    parameters: {
      intervalMin: u16,
      intervalMax: u16,
      type: u8,
      ownAddressType: u8,
      peerAddressType: u8,
      peerAddress: address,
      channelMap: u8,
      filterPolicy: u8,
    },
    returns: {},
    supported: [25, 5],
  },
  'le-read-advertising-tx-power': {
    opcode: opcode(8, 0x07),
    parameters: {},
    returns: { power: i8 },
    supported: [25, 6],
  },
  'le-set-advertising-data': {
    opcode: opcode(8, 0x08),
    parameters: { data: legacyData },
    returns: {},
    supported: [25, 7],
  },
  'le-set-scan-response-data': {
    opcode: opcode(8, 0x09),
    parameters: { data: legacyData },
    returns: {},
    supported: [26, 0],
  },
  'le-set-advertising-enable': { opcode: opcode(8, 0x0a), parameters: { enable: u8 }, returns: {}, supported: [26, 1] },
  /** Interval and window in 0.625 ms; type 0 = passive, 1 = active. */
  'le-set-scan-parameters': {
    opcode: opcode(8, 0x0b),
    parameters: { type: u8, interval: u16, window: u16, ownAddressType: u8, filterPolicy: u8 },
    returns: {},
    supported: [26, 2],
  },
  'le-set-scan-enable': {
    opcode: opcode(8, 0x0c),
    parameters: { enable: u8, filterDuplicates: u8 },
    returns: {},
    supported: [26, 3],
  },
  'le-read-accept-list-size': { opcode: opcode(8, 0x0f), parameters: {}, returns: { size: u8 }, supported: [26, 6] },
  'le-clear-accept-list': { opcode: opcode(8, 0x10), parameters: {}, returns: {}, supported: [26, 7] },
  'le-add-to-accept-list': {
    opcode: opcode(8, 0x11),
    parameters: { addressType: u8, address },
    returns: {},
    supported: [27, 0],
  },
  'le-remove-from-accept-list': {
    opcode: opcode(8, 0x12),
    parameters: { addressType: u8, address },
    returns: {},
    supported: [27, 1],
  },
  'le-encrypt': {
    opcode: opcode(8, 0x17),
    parameters: { key: octets(16), plaintext: octets(16) },
    returns: { encrypted: octets(16) },
    supported: [27, 6],
  },
  'le-rand': { opcode: opcode(8, 0x18), parameters: {}, returns: { random: octets(8) }, supported: [27, 7] },
  'le-read-supported-states': {
    opcode: opcode(8, 0x1c),
    parameters: {},
    returns: { states: octets(8) },
    supported: [28, 3],
  },
  'le-add-to-resolving-list': {
    opcode: opcode(8, 0x27),
    parameters: { addressType: u8, address, peerKey: octets(16), localKey: octets(16) },
    returns: {},
    supported: [34, 3],
  },
  'le-remove-from-resolving-list': {
    opcode: opcode(8, 0x28),
    parameters: { addressType: u8, address },
    returns: {},
    supported: [34, 4],
  },
  'le-clear-resolving-list': { opcode: opcode(8, 0x29), parameters: {}, returns: {}, supported: [34, 5] },
  'le-read-resolving-list-size': { opcode: opcode(8, 0x2a), parameters: {}, returns: { size: u8 }, supported: [34, 6] },
  'le-set-address-resolution-enable': {
    opcode: opcode(8, 0x2d),
    parameters: { enable: u8 },
    returns: {},
    supported: [35, 1],
  },
  /** In seconds, 1..3600. */
  'le-set-rpa-timeout': { opcode: opcode(8, 0x2e), parameters: { timeout: u16 }, returns: {}, supported: [35, 2] },
} as const satisfies Readonly<Record<string, Command>>;
