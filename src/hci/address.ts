import type { Bytes } from '../base/bytes.ts';
import { fromHex, reversed, toHex } from '../base/bytes.ts';

/**
 * A device address as people write it: six lower-case hex octets, most significant first, `c4:22:33:44:55:66`. On the air
 * and in HCI packets the least significant octet comes first.
 */
export type Address = string;

/** Values of Address_Type in commands and events. Core Vol 4 Part E 7.8. */
export const addressType = { public: 0, random: 1 } as const;

/** An address with its type, the pair by which a device is known. */
export type DeviceAddress = { readonly type: number; readonly address: Address };

/** @param octets six, least significant first */
export function addressFromOctets(octets: Bytes): Address {
  return toHex(reversed(octets), ':');
}

/** Six octets, least significant first; `undefined` when `address` is not six octets of hex. */
export function addressOctets(address: Address): Bytes | undefined {
  const octets = fromHex(address);
  return octets?.length === 6 ? reversed(octets) : undefined;
}

/** The key under which a device stands in a map. */
export function deviceKey(device: DeviceAddress): string {
  return `${device.type}/${device.address}`;
}
