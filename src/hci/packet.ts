import type { Bytes } from '../base/bytes.ts';
import { concat } from '../base/bytes.ts';

/** Packet indicators in front of each packet. Core Vol 4 Part A 2. */
export const h4Type = { command: 1, acl: 2, sync: 3, event: 4, iso: 5 } as const;

/** Packet_Boundary_Flag of ACL data on LE. Core Vol 4 Part E 5.4.2. */
export const boundary = {
  /** First fragment of an L2CAP packet, from host to controller. */
  first: 0,
  continuing: 1,
  /** First fragment, from controller to host. */
  firstFlushable: 2,
} as const;

/** L2CAP data for or from one connection, or a part of it. */
export type AclPacket = {
  readonly kind: 'acl';
  /** Connection handle, 0x0000..0x0EFF. */
  readonly handle: number;
  /** 0..3, see {@link boundary}. */
  readonly boundary: number;
  /** 0..3; 0 = point to point. */
  readonly broadcast: number;
  readonly data: Bytes;
};

export type CommandPacket = { readonly kind: 'command'; readonly opcode: number; readonly parameters: Bytes };
export type EventPacket = { readonly kind: 'event'; readonly code: number; readonly parameters: Bytes };

/** A packet that LE does not use here, kept whole: header and data without the indicator. */
export type OtherPacket = { readonly kind: 'sync' | 'iso'; readonly octets: Bytes };

/** One HCI packet, its parameters still octets. */
export type HciPacket = CommandPacket | AclPacket | EventPacket | OtherPacket;

/** Octets of the header behind the indicator, and where in it the length stands. Core Vol 4 Part E 5.4. */
export const headers: Readonly<Record<number, { readonly length: number; readonly at: number; readonly size: 1 | 2 }>> =
  {
    [h4Type.command]: { length: 3, at: 2, size: 1 },
    [h4Type.acl]: { length: 4, at: 2, size: 2 },
    [h4Type.sync]: { length: 3, at: 2, size: 1 },
    [h4Type.event]: { length: 2, at: 1, size: 1 },
    [h4Type.iso]: { length: 4, at: 2, size: 2 },
  };

/** The packet with its indicator, as it stands in an H4 stream. */
export function encodePacket(packet: HciPacket): Bytes {
  switch (packet.kind) {
    case 'command':
      return concat(
        [h4Type.command, packet.opcode & 0xff, packet.opcode >> 8, packet.parameters.length],
        packet.parameters,
      );
    case 'event':
      return concat([h4Type.event, packet.code, packet.parameters.length], packet.parameters);
    case 'acl': {
      const { handle, boundary: flag, broadcast, data } = packet;
      const word = handle | (flag << 12) | (broadcast << 14);
      return concat([h4Type.acl, word & 0xff, word >> 8, data.length & 0xff, data.length >> 8], data);
    }
    case 'sync':
    case 'iso':
      return concat([h4Type[packet.kind]], packet.octets);
  }
}

/**
 * One whole packet with its indicator to its parts.
 *
 * @returns `undefined` when the octets are not exactly one packet
 */
export function decodePacket(octets: Bytes): HciPacket | undefined {
  const type = octets[0] ?? 0;
  const header = headers[type];
  if (header === undefined || octets.length < 1 + header.length) return undefined;
  if (octets.length !== packetLength(octets)) return undefined;
  const data = octets.slice(1 + header.length);
  const word = (octets[1] ?? 0) | ((octets[2] ?? 0) << 8);
  switch (type) {
    case h4Type.command:
      return { kind: 'command', opcode: word, parameters: data };
    case h4Type.event:
      return { kind: 'event', code: octets[1] ?? 0, parameters: data };
    case h4Type.acl:
      return { kind: 'acl', handle: word & 0xfff, boundary: (word >> 12) & 3, broadcast: word >> 14, data };
    default:
      return { kind: type === h4Type.sync ? 'sync' : 'iso', octets: octets.slice(1) };
  }
}

/**
 * Octets of the packet at the front, indicator included; `undefined` while its header is not whole. The indicator must be
 * a known one.
 */
export function packetLength(octets: Bytes): number | undefined {
  const type = octets[0] ?? 0;
  const header = headers[type];
  if (header === undefined || octets.length < 1 + header.length) return undefined;
  const low = octets[1 + header.at] ?? 0;
  const high = header.size === 2 ? (octets[2 + header.at] ?? 0) : 0;
  // The two top bits of an isochronous packet's length are reserved. Core Vol 4 Part E 5.4.5.
  const length = type === h4Type.iso ? (low | (high << 8)) & 0x3fff : low | (high << 8);
  return 1 + header.length + length;
}
