import type { Bytes } from '../../base/bytes.ts';

/**
 * PDU and CRC whitened for a channel, or back: both are the same. Core Vol 6 Part B 3.2: x^7 + x^4 + 1, position 0 of the
 * register set, positions 1 to 6 the channel index, most significant bit first.
 *
 * @param channel index, 0..39
 */
export function whiten(octets: Bytes, channel: number): Bytes {
  // Position 6 of the standard's register is bit 0 here, so that it is what falls out.
  let register = 0x40 | channel;
  return octets.map((octet) => {
    let mask = 0;
    for (let bit = 0; bit < 8; bit++) {
      const out = register & 1;
      mask |= out << bit;
      register = (register >> 1) ^ (out === 0 ? 0 : 0x44);
    }
    return octet ^ mask;
  });
}
