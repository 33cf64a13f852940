import { us, type Microseconds } from '../base/quantity.ts';
import type { Phy } from '../contract/model.ts';

/** Inter frame space: end of a packet to the start of its answer. Core Vol 6 Part B 4.1.1. */
export const interFrameSpace = us(150);

/** Octets of every data packet but preamble and payload: access address, header, CRC. Core Vol 6 Part B 2.1. */
const accessAddress = 4;
const header = 2;
const crc = 3;
const messageIntegrityCode = 4;

/**
 * Time on air of one packet, in whole microseconds.
 *
 * Uncoded: 8 (4 on 2M) µs an octet of preamble (1; 2 on 2M), access address, header, payload, MIC and CRC. Coded: 80 µs of
 * preamble; access address, coding indicator and their termination always at eight symbols a bit (256 + 16 + 24 µs); the
 * rest and its three termination bits at S = 2 or 8.
 *
 * Core Vol 6 Part B 2.1 and 2.2.
 *
 * @param payload octets, 0..255, without the MIC
 */
export function packetTime(phy: Phy, payload: number, mic: boolean): Microseconds {
  const body = header + payload + (mic ? messageIntegrityCode : 0);
  switch (phy) {
    case '1M':
      return us(8 * (1 + accessAddress + body + crc));
    case '2M':
      return us(4 * (2 + accessAddress + body + crc));
    case 'coded-s2':
      return codedTime(body, 2);
    case 'coded-s8':
      return codedTime(body, 8);
  }
}

function codedTime(body: number, symbols: 2 | 8): Microseconds {
  const terminationBits = 3;
  return us(80 + 256 + 16 + 24 + symbols * (8 * (body + crc) + terminationBits));
}

/** As {@link packetTime} on a connection: an encrypted packet carries a MIC unless it is empty. Core Vol 6 Part B 2.4. */
export function dataPacketTime(phy: Phy, payload: number, encrypted: boolean): Microseconds {
  return packetTime(phy, payload, encrypted && payload > 0);
}

/** A packet of the central, the peripheral's answer, and the spaces behind both. Payloads in octets. */
export function pairTime(phy: Phy, down: number, up: number, encrypted: boolean): Microseconds {
  return us(dataPacketTime(phy, down, encrypted) + dataPacketTime(phy, up, encrypted) + 2 * interFrameSpace);
}

/** Payload of SCAN_REQ: two addresses. Core Vol 6 Part B 2.3.2.1. */
export const scanRequestPayload = 12;
/** Payload of CONNECT_IND. Core Vol 6 Part B 2.3.3.1. */
export const connectPayload = 34;
/** Payload of ADV_IND: the advertiser's address and its data, at most 31 octets. Core Vol 6 Part B 2.3.1.1. */
export function advertisingPayload(dataOctets: number): number {
  return 6 + dataOctets;
}
