import { concat, type Bytes } from '../../base/bytes.ts';
import { addressOctets, type DeviceAddress } from '../../hci/address.ts';
import { decodeLayout, encodeLayout, octets, u16, u24, u32, u8, type Values } from '../../hci/layout.ts';

/** PDU types on the primary advertising channels. Core Vol 6 Part B 2.3. */
export const pduType = {
  'adv-ind': 0,
  'adv-direct-ind': 1,
  'adv-nonconn-ind': 2,
  'scan-req': 3,
  'scan-rsp': 4,
  'connect-ind': 5,
  'adv-scan-ind': 6,
} as const;

export type AdvertisingPduName = keyof typeof pduType;

/** LLData of CONNECT_IND. Core Vol 6 Part B 2.3.3.1. Window and interval in 1.25 ms, timeout in 10 ms. */
const connectData = {
  accessAddress: u32,
  crcInit: u24,
  windowSize: u8,
  windowOffset: u16,
  interval: u16,
  latency: u16,
  timeout: u16,
  channelMap: octets(5),
  /** Hop increment in bits 0..4, sleep clock accuracy in bits 5..7. */
  hopAndAccuracy: u8,
};

export type ConnectData = Values<typeof connectData>;

/** Bits of the header's first octet besides the type. Core Vol 6 Part B 2.3. */
const channelSelectionBit = 0x20;
const txRandomBit = 0x40;
const rxRandomBit = 0x80;

function addressBytes(device: DeviceAddress): Bytes {
  return addressOctets(device.address) ?? new Uint8Array(6);
}

/**
 * A PDU on an advertising channel.
 *
 * @param own whose address comes first
 * @param peer whose address comes second, in the PDUs that have two
 * @param data what follows the addresses
 */
export function encodeAdvertisingPdu(
  name: AdvertisingPduName,
  own: DeviceAddress,
  parts: {
    readonly peer?: DeviceAddress | undefined;
    readonly data?: Bytes;
    readonly channelSelection2?: boolean;
  } = {},
): Bytes {
  const { peer, data, channelSelection2 } = parts;
  const payload = concat(addressBytes(own), peer === undefined ? [] : addressBytes(peer), data ?? []);
  const header =
    pduType[name] |
    (channelSelection2 === true ? channelSelectionBit : 0) |
    (own.type === 1 ? txRandomBit : 0) |
    (peer?.type === 1 ? rxRandomBit : 0);
  return concat([header, payload.length], payload);
}

export function encodeConnectData(data: ConnectData): Bytes {
  return encodeLayout(connectData, data);
}

/** @param octets the last 22 of a CONNECT_IND; `undefined` when they are of another length */
export function decodeConnectData(octets: Bytes): ConnectData | undefined {
  return decodeLayout(connectData, octets);
}
