import { createCipheriv, createDecipheriv } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { concat, fromHex, toHex, type Bytes } from '../../base/bytes.ts';
import { seededRandom } from '../../base/random.ts';
import { allowedAccessAddress, newAccessAddress } from './access-address.ts';
import { aesBlock } from './aes.ts';
import { seal, unseal } from './ccm.ts';
import {
  channelIdentifier,
  channelSet,
  eventNumber,
  nextUnmapped1,
  selectChannel1,
  selectChannel2,
} from './channel-selection.ts';
import { channelFrequency, fullChannelMap, usedChannels } from './channels.ts';
import { advertisingCrcInit, crc24 } from './crc24.ts';
import { LinkCipher, sessionKey, type Direction, type KeyMaterial } from './link-cipher.ts';
import { whiten } from './whitening.ts';

const bytes = (text: string): Bytes => fromHex(text)!;

describe('CRC-24', () => {
  // Core Vol 6 Part B 3.1.1; packets of public test suites of link-layer dissectors, recomputed.
  it.each([
    ['0006000000000000', '5a3960'],
    ['201660d4d3cebffb0201050319420c0303e7fe0409483938', '50c27c'],
    ['40144d955016fe7602011a0aff4c0010050b1c0ea836', '5af004'],
    ['030caaaaaaaaaaaabbbbbbbbbbbb', '07b261'],
    // Received damaged as 07fa25; this is what it should have been.
    ['40140367a62bcb6900011a0aff4c0012450318799e96', '489ebd'],
  ])('of %s is %s', (pdu, crc) => {
    expect(toHex(crc24(bytes(pdu), advertisingCrcInit))).toBe(crc);
  });

  it('finds every error of one bit, with every start value', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 2, maxLength: 40 }), fc.nat(0xff_ffff), fc.nat(), (pdu, init, place) => {
        const damaged = pdu.slice();
        const at = place % (pdu.length * 8);
        damaged[at >> 3]! ^= 1 << (at & 7);
        expect(crc24(damaged, init)).not.toEqual(crc24(pdu, init));
      }),
    );
  });
});

describe('whitening', () => {
  // Sequences of three channels as printed in a public test suite, recomputed from Core Vol 6 Part B 3.2; channel 0 recomputed only.
  it.each([
    [37, '8dd257a13da766b0753111489677f8e346e9abd09e5333d8ba980824cb3bfc71a3f45568cfa9196c5d4c'],
    [38, 'd6c5442059dee18f1ba5af427b4ecd60eb6222902ceff0c78dd257a13da766b0753111489677f8'],
    [39, '1f374a5f85f69c9ac1d6c5442059dee18f1ba5af42'],
    [0, '40b2bcc31f374a5f85f69c9ac1d6c544'],
  ])('of channel %i', (channel, sequence) => {
    const expected = bytes(sequence);
    expect(toHex(whiten(new Uint8Array(expected.length), channel))).toBe(sequence);
    expect(whiten(expected, channel)).toEqual(new Uint8Array(expected.length));
  });
});

describe('channels', () => {
  // Core Vol 6 Part B 1.4.1 (from memory); must be a permutation of 2402, 2404, ..., 2480 MHz.
  it('have each their own frequency', () => {
    const all = Array.from({ length: 40 }, (_, channel) => channelFrequency(channel));
    expect([...all].sort((a, b) => a - b)).toEqual(Array.from({ length: 40 }, (_, i) => 2402 + 2 * i));
    expect([all[37], all[38], all[39], all[0], all[10], all[11], all[36]]).toEqual([
      2402, 2426, 2480, 2404, 2424, 2428, 2478,
    ]);
  });
});

describe('channel selection #2', () => {
  const nine = bytes('0006e0001e');
  const identifier = channelIdentifier(0x8e89bed6);

  // Sample data, Core Vol 6 Part C 3.1 and 3.2.
  it.each([
    [0, fullChannelMap, 56857, 25],
    [1, fullChannelMap, 1685, 20],
    [2, fullChannelMap, 38301, 6],
    [3, fullChannelMap, 27475, 21],
    [6, nine, 10975, 23],
    [7, nine, 5490, 9],
    [8, nine, 46970, 34],
  ])('event %i', (counter, map, number, channel) => {
    expect(identifier).toBe(0x305f);
    expect(eventNumber(counter, identifier)).toBe(number);
    expect(selectChannel2(counter, identifier, channelSet(map))).toBe(channel);
  });

  it('reads the map of nine channels', () => {
    expect(usedChannels(nine)).toEqual([9, 10, 21, 22, 23, 33, 34, 35, 36]);
  });

  it('stays among the used channels', () => {
    const maps = fc.uniqueArray(fc.nat(36), { minLength: 2, maxLength: 37 });
    fc.assert(
      fc.property(maps, fc.nat(0xffff), fc.nat(0xffff), (channels, counter, id) => {
        const map = new Uint8Array(5);
        for (const channel of channels) map[channel >> 3]! |= 1 << (channel & 7);
        expect(channels).toContain(selectChannel2(counter, id, channelSet(map)));
        expect(channels).toContain(selectChannel1(counter % 37, channelSet(map)));
      }),
    );
  });
});

describe('channel selection #1', () => {
  // Worked by hand from Core Vol 6 Part B 4.5.8.2: channels 0, 2, 36 and hop 7.
  it('gives 2, 36, 0', () => {
    const channels = channelSet(bytes('0500000010'));
    const first = nextUnmapped1(0, 7);
    const second = nextUnmapped1(first, 7);
    const third = nextUnmapped1(second, 7);
    expect([first, second, third]).toEqual([7, 14, 21]);
    expect([first, second, third].map((unmapped) => selectChannel1(unmapped, channels))).toEqual([2, 36, 0]);
  });
});

describe('access addresses', () => {
  // Core Vol 6 Part B 2.1.2, rule by rule.
  it.each([
    [0x8e89bed6, 'the advertising one'],
    [0x8e89bed7, 'one bit from it'],
    [0x71764028, 'seven zeros in a row'],
    [0x7a7a7a7a, 'four equal octets'],
    [0x55555555, 'more than 24 transitions'],
    [0xfc6b2d96, 'fewer than two transitions in the six highest bits'],
    [0x71764181, 'fewer than three ones in the lowest octet'],
  ])('0x%s is not allowed: %s', (address) => {
    expect(allowedAccessAddress(address)).toBe(false);
  });

  it('are made so that they are allowed and new', () => {
    const random = seededRandom(1);
    const made = new Set<number>();
    for (let i = 0; i < 200; i++) {
      const address = newAccessAddress(random, (other) => made.has(other));
      expect(allowedAccessAddress(address) && !made.has(address)).toBe(true);
      made.add(address);
    }
  });
});

describe('encryption', () => {
  // FIPS-197 Appendix C.1.
  it('has the block cipher of the standard', () => {
    const block = aesBlock(bytes('000102030405060708090a0b0c0d0e0f'), bytes('00112233445566778899aabbccddeeff'));
    expect(toHex(block)).toBe('69c4e0d86a7b0430d8cdb78070b4c55a');
  });

  // Sample data for LE encryption, Core Vol 6 Part C 1. The standard prints values most significant octet first.
  const little = (text: string): Bytes => bytes(text).reverse();
  const material: KeyMaterial = {
    centralDiversifier: little('acbdcedfe0f10213'),
    peripheralDiversifier: little('0213243546576879'),
    centralVector: little('badcab24'),
    peripheralVector: little('deafbabe'),
  };
  const key = sessionKey(little('4c68384139f574d836bcf34e9dfb01bf'), material);

  it('derives the session key of the sample data', () => {
    expect(toHex(key)).toBe('99ad1b5226a37e3e058e3b8e27c2c666');
  });

  type Sample = readonly [header: number, plain: string, sealed: string];
  it.each<[Direction, readonly Sample[]]>([
    [
      'central-to-peripheral',
      [
        [0x0f, '06', '9fcda7f448'],
        [
          0x0e,
          '1700636465666768696a6b6c6d6e6f707131323334353637383930',
          '7a70d66415226df26b17839a060405596bd6564f796b5b9ce6ff32f75a6d33',
        ],
      ],
    ],
    [
      'peripheral-to-central',
      [
        [0x07, '06', 'a34c13a415'],
        [
          0x06,
          '170037363534333231304142434445464748494a4b4c4d4e4f5051',
          'f38881e7bd94c9c369b9a66846dd4786aa8c39ce540d0dae3adcdf89b96088',
        ],
      ],
    ],
  ])('encrypts the packets of the sample data, %s', (direction, packets) => {
    const sender = new LinkCipher(key, material, direction);
    const receiver = new LinkCipher(key, material, direction);
    for (const [header, plain, sealed] of packets) {
      expect(toHex(sender.seal(header, bytes(plain)))).toBe(sealed);
      // NESN, SN and MD may differ in a retransmission.
      expect(toHex(receiver.unseal(header ^ 0x1c, bytes(sealed))!)).toBe(plain);
    }
  });

  it('agrees with an independent AES-CCM', () => {
    const octets = (length: number): fc.Arbitrary<Bytes> => fc.uint8Array({ minLength: length, maxLength: length });
    fc.assert(
      fc.property(
        octets(16),
        octets(13),
        fc.nat(255),
        fc.uint8Array({ maxLength: 251 }),
        (k, nonce, header, payload) => {
          const cipher = createCipheriv('aes-128-ccm', k, nonce, { authTagLength: 4 });
          cipher.setAAD(Uint8Array.of(header), { plaintextLength: payload.length });
          const body = cipher.update(payload);
          cipher.final();
          const sealed = seal(k, nonce, header, payload);
          expect(toHex(sealed)).toBe(toHex(concat(body, cipher.getAuthTag())));
          expect(toHex(unseal(k, nonce, header, sealed)!)).toBe(toHex(payload));
          const decipher = createDecipheriv('aes-128-ccm', k, nonce, { authTagLength: 4 });
          decipher.setAuthTag(sealed.subarray(-4));
          decipher.setAAD(Uint8Array.of(header), { plaintextLength: payload.length });
          expect(toHex(decipher.update(sealed.subarray(0, -4)))).toBe(toHex(payload));
        },
      ),
      { numRuns: 100 },
    );
  });

  it('refuses a packet with any bit turned', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 27 }), fc.nat(), (payload, place) => {
        const sealed = new LinkCipher(key, material, 'central-to-peripheral').seal(2, payload);
        const at = place % (sealed.length * 8);
        sealed[at >> 3]! ^= 1 << (at & 7);
        expect(new LinkCipher(key, material, 'central-to-peripheral').unseal(2, sealed)).toBeUndefined();
      }),
      { numRuns: 100 },
    );
  });
});
