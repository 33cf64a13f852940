import type { Bytes } from '../../base/bytes.ts';
import { concat, equalBytes } from '../../base/bytes.ts';
import { aesBlock } from './aes.ts';

/** Octets of the message integrity code. */
export const micLength = 4;

const blockLength = 16;

/** Counter block i: flags (L - 1 = 1), nonce, i. */
function counterBlock(nonce: Bytes, i: number): Bytes {
  return concat([0x01], nonce, [i >> 8, i & 0xff]);
}

/** CBC-MAC over B0, the additional octet and the payload. Core Vol 6 Part E 2.2; RFC 3610 2.2. */
function authenticate(key: Bytes, nonce: Bytes, header: number, payload: Bytes): Bytes {
  const first = concat([0x49], nonce, [payload.length >> 8, payload.length & 0xff]);
  const blocks = 2 + Math.ceil(payload.length / blockLength);
  const message = new Uint8Array(blocks * blockLength);
  message.set(first);
  message.set([0, 1, header], blockLength);
  message.set(payload, 2 * blockLength);
  let mac: Bytes = new Uint8Array(blockLength);
  for (let at = 0; at < message.length; at += blockLength) {
    const before = mac;
    mac = aesBlock(
      key,
      message.slice(at, at + blockLength).map((octet, i) => octet ^ (before[i] ?? 0)),
    );
  }
  return mac.subarray(0, micLength);
}

function keyStream(key: Bytes, nonce: Bytes, blocks: number): Bytes {
  return aesBlock(key, concat(...Array.from({ length: blocks + 1 }, (_, i) => counterBlock(nonce, i))));
}

function xor(a: Bytes, b: Bytes): Bytes {
  return a.map((octet, i) => octet ^ (b[i] ?? 0));
}

/**
 * AES-CCM as the link layer uses it: M = 4, L = 2, one octet of additional data. Core Vol 6 Part E.
 *
 * @param key session key, 16 octets, most significant first
 * @param nonce 13 octets
 * @param header first octet of the PDU's header without NESN, SN and MD
 * @returns the payload encrypted, then the MIC encrypted
 */
export function seal(key: Bytes, nonce: Bytes, header: number, payload: Bytes): Bytes {
  const stream = keyStream(key, nonce, Math.ceil(payload.length / blockLength));
  const mic = authenticate(key, nonce, header, payload);
  return concat(xor(payload, stream.subarray(blockLength)), xor(mic, stream));
}

/**
 * The payload of {@link seal}.
 *
 * @returns `undefined` when the MIC does not fit
 */
export function unseal(key: Bytes, nonce: Bytes, header: number, sealed: Bytes): Bytes | undefined {
  if (sealed.length < micLength) return undefined;
  const length = sealed.length - micLength;
  const stream = keyStream(key, nonce, Math.ceil(length / blockLength));
  const payload = xor(sealed.subarray(0, length), stream.subarray(blockLength));
  const mic = xor(sealed.subarray(length), stream);
  return equalBytes(mic, authenticate(key, nonce, header, payload)) ? payload : undefined;
}
