import { cmac } from '@noble/ciphers/aes.js';
import type { Bytes } from './bytes.ts';

/**
 * AES-CMAC, RFC 4493; also Core Vol 3 Part H 2.2.5.
 *
 * @param key 16 octets, most significant first
 * @returns 16 octets, most significant first
 */
export function aesCmac(key: Bytes, message: Bytes): Bytes {
  return cmac(message, key);
}
