import { us, type Microseconds } from '../../base/quantity.ts';
import type { Phy } from '../../contract/model.ts';

/**
 * How long link-layer packets are on the air. Core Vol 6 Part B 2.1 (uncoded packets: preamble, access address, header,
 * payload, CRC) and 2.2 (coded packets: preamble 80, access address 256, coding indicator 16, first terminator 24, then
 * header, payload, CRC and a terminator of 3 bits at S symbols a bit).
 */

/** Octets of the message integrity check on an encrypted link. */
export const micOctets = 4;

/** Time between two packets of a connection event. Core Vol 6 Part B 4.1.1. */
const interFrameSpace = 150;

/** @param payload octets of the link-layer payload, message integrity check included, 0..255 */
export function packetTime(phy: Phy, payload: number): Microseconds {
  const body = 2 + payload + 3;
  switch (phy) {
    case '1M':
      return us(8 * (1 + 4 + body));
    case '2M':
      return us(4 * (2 + 4 + body));
    case 'coded-s2':
      return us(80 + 256 + 16 + 24 + 2 * (8 * body + 3));
    case 'coded-s8':
      return us(80 + 256 + 16 + 24 + 8 * (8 * body + 3));
  }
}

/** A packet with its answer of no payload, and the spaces behind both: what one packet of data costs at least. */
export function exchangeTime(phy: Phy, payload: number): Microseconds {
  return us(packetTime(phy, payload) + packetTime(phy, 0) + 2 * interFrameSpace);
}

/**
 * The link-layer payloads of one notification: ATT opcode and handle (3 octets) and L2CAP header (4) stand before the
 * value, and `dataLength` octets go into a packet.
 */
export function notificationPackets(length: number, dataLength: number): readonly number[] {
  const packets: number[] = [];
  for (let rest = length + 7; rest > 0; rest -= dataLength) packets.push(Math.min(rest, dataLength));
  return packets;
}
