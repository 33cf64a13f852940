import { address, counted, i8, list, octets, u16, u8 } from '../layout.ts';
import type { EventDeclaration } from './event.ts';

/** LE meta events by subevent code. Core Vol 4 Part E 7.7.65. Units as in the commands. */
export const leEvents = {
  /** Role 0 = central, 1 = peripheral. */
  'le-connection-complete': {
    code: 0x01,
    parameters: {
      status: u8,
      handle: u16,
      role: u8,
      peerAddressType: u8,
      peerAddress: address,
      interval: u16,
      latency: u16,
      timeout: u16,
      clockAccuracy: u8,
    },
  },
  /** Type 0 = ADV_IND, 1 = directed, 2 = scannable, 3 = non-connectable, 4 = scan response; RSSI in dBm, 127 = unknown. */
  'le-advertising-report': {
    code: 0x02,
    parameters: { reports: list({ type: u8, addressType: u8, address, data: counted, rssi: i8 }) },
  },
  'le-connection-update-complete': {
    code: 0x03,
    parameters: { status: u8, handle: u16, interval: u16, latency: u16, timeout: u16 },
  },
  'le-read-remote-features-complete': { code: 0x04, parameters: { status: u8, handle: u16, features: octets(8) } },
  'le-long-term-key-request': { code: 0x05, parameters: { handle: u16, random: octets(8), diversifier: u16 } },
  'le-remote-connection-parameter-request': {
    code: 0x06,
    parameters: { handle: u16, intervalMin: u16, intervalMax: u16, latency: u16, timeout: u16 },
  },
  'le-data-length-change': {
    code: 0x07,
    parameters: { handle: u16, txOctets: u16, txTime: u16, rxOctets: u16, rxTime: u16 },
  },
  'le-enhanced-connection-complete': {
    code: 0x0a,
    parameters: {
      status: u8,
      handle: u16,
      role: u8,
      peerAddressType: u8,
      peerAddress: address,
      localResolvableAddress: address,
      peerResolvableAddress: address,
      interval: u16,
      latency: u16,
      timeout: u16,
      clockAccuracy: u8,
    },
  },
  'le-phy-update-complete': { code: 0x0c, parameters: { status: u8, handle: u16, txPhy: u8, rxPhy: u8 } },
  /** Algorithm 0 = #1, 1 = #2. */
  'le-channel-selection-algorithm': { code: 0x14, parameters: { handle: u16, algorithm: u8 } },
} as const satisfies Readonly<Record<string, EventDeclaration>>;
