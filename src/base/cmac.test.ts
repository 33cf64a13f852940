import { createCipheriv } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readVectors, vectorTests } from '../../test/support/read-vectors.ts';
import { fromHex, toHex } from './bytes.ts';
import { aesCmac } from './cmac.ts';

describe('AES-CMAC', () => {
  const file = readVectors<{ key: string; message: string }, string>(new URL('./vectors/cmac.json', import.meta.url));
  it.each(vectorTests(file))('$id: $comment', ({ input, output }) => {
    expect(toHex(aesCmac(fromHex(input.key)!, fromHex(input.message)!))).toBe(output);
  });

  it('agrees with a CMAC made from the AES of OpenSSL at every length', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 16, maxLength: 16 }), fc.uint8Array({ maxLength: 80 }), (key, message) => {
        expect(toHex(aesCmac(key, message))).toBe(independentCmac(key, message));
      }),
    );
  });
});

/** RFC 4493 section 2.4 over node:crypto's AES-128: subkeys by section 2.3, then CBC without an initial vector. */
function independentCmac(key: Uint8Array, message: Uint8Array): string {
  const encrypt = (block: Buffer): Buffer => {
    const cipher = createCipheriv('aes-128-ecb', key, null).setAutoPadding(false);
    return Buffer.concat([cipher.update(block), cipher.final()]);
  };
  const double = (block: bigint): bigint => BigInt.asUintN(128, block << 1n) ^ (block >> 127n === 1n ? 0x87n : 0n);
  const l = BigInt(`0x${encrypt(Buffer.alloc(16)).toString('hex')}`);
  const whole = message.length > 0 && message.length % 16 === 0;
  const subkey = whole ? double(l) : double(double(l));
  const padded = Buffer.alloc(Math.max(16, Math.ceil(message.length / 16) * 16));
  padded.set(message);
  if (!whole) padded[message.length] = 0x80;
  let state = 0n;
  for (let i = 0; i < padded.length; i += 16) {
    const block = BigInt(`0x${padded.subarray(i, i + 16).toString('hex')}`);
    const last = i + 16 === padded.length;
    const mixed = (state ^ block ^ (last ? subkey : 0n)).toString(16).padStart(32, '0');
    state = BigInt(`0x${encrypt(Buffer.from(mixed, 'hex')).toString('hex')}`);
  }
  return state.toString(16).padStart(32, '0');
}
