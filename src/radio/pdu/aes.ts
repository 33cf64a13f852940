import { ecb } from '@noble/ciphers/aes.js';
import type { Bytes } from '../../base/bytes.ts';

/**
 * One block of AES-128: the security function e of Core Vol 3 Part H 2.2.1.
 *
 * @param key 16 octets, most significant first
 * @param block 16 octets, most significant first
 */
export function aesBlock(key: Bytes, block: Bytes): Bytes {
  return ecb(key, { disablePadding: true }).encrypt(block);
}
