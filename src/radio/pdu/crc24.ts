import type { Bytes } from '../../base/bytes.ts';

/** CRCInit of all packets on advertising channels. Core Vol 6 Part B 3.1.1. */
export const advertisingCrcInit = 0x55_5555;

/** x^24 + x^10 + x^9 + x^6 + x^4 + x^3 + x + 1 for a register that shifts towards its least significant bit. */
const polynomial = 0xda_6000;

function reverse24(value: number): number {
  let reversed = 0;
  for (let bit = 0; bit < 24; bit++) reversed = (reversed << 1) | ((value >> bit) & 1);
  return reversed;
}

/** What each octet does to the register. */
const table = Uint32Array.from({ length: 256 }, (_, octet) => {
  let value = octet;
  for (let bit = 0; bit < 8; bit++) value = (value & 1) !== 0 ? (value >>> 1) ^ polynomial : value >>> 1;
  return value;
});

/**
 * Three octets as they follow the PDU on the air. Core Vol 6 Part B 3.1.1: least significant bit of each octet first, the
 * register's position 23 sent first.
 *
 * @param pdu header and payload, with the MIC if there is one
 * @param init 24 bits: {@link advertisingCrcInit}, or what CONNECT_IND gave
 */
export function crc24(pdu: Bytes, init: number): Bytes {
  let register = reverse24(init);
  for (const octet of pdu) register = (register >>> 8) ^ (table[(register ^ octet) & 0xff] ?? 0);
  return Uint8Array.of(register & 0xff, (register >> 8) & 0xff, register >> 16);
}
