import type { Random } from '../../base/random.ts';

/** Access address of all packets on advertising channels. Core Vol 6 Part B 2.1.2. */
export const advertisingAccessAddress = 0x8e89_bed6;

/** Bits in which two neighbours differ, of the lowest `bits` bits. */
function transitions(value: number, bits: number): number {
  return ones((value ^ (value >>> 1)) & (2 ** (bits - 1) - 1));
}

function ones(value: number): number {
  let count = 0;
  for (let rest = value >>> 0; rest !== 0; rest = (rest & (rest - 1)) >>> 0) count += 1;
  return count;
}

/** Length of the longest run of equal bits in 32. */
function longestRun(value: number): number {
  let longest = 1;
  let run = 1;
  for (let bit = 1; bit < 32; bit++) {
    run = ((value >>> bit) & 1) === ((value >>> (bit - 1)) & 1) ? run + 1 : 1;
    longest = Math.max(longest, run);
  }
  return longest;
}

/**
 * Whether a connection may have this access address. Core Vol 6 Part B 2.1.2, with the two rules for controllers that
 * know the coded PHY.
 *
 * @param address 32 bits, unsigned
 */
export function allowedAccessAddress(address: number): boolean {
  const fromAdvertising = ones(address ^ advertisingAccessAddress);
  const octets = [address & 0xff, (address >>> 8) & 0xff, (address >>> 16) & 0xff, address >>> 24];
  return (
    fromAdvertising > 1 &&
    longestRun(address) <= 6 &&
    new Set(octets).size > 1 &&
    transitions(address, 32) <= 24 &&
    transitions(address >>> 26, 6) >= 2 &&
    ones(address & 0xff) >= 3 &&
    transitions(address & 0xffff, 16) <= 11
  );
}

/** A new one that is allowed and not among those in use. */
export function newAccessAddress(random: Random, used: (address: number) => boolean): number {
  for (;;) {
    const address = random.int(2 ** 32);
    if (allowedAccessAddress(address) && !used(address)) return address;
  }
}
