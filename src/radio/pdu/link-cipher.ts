import { concat, reversed, type Bytes } from '../../base/bytes.ts';
import { aesBlock } from './aes.ts';
import { seal, unseal } from './ccm.ts';

/** Which way a packet goes: the direction bit of the nonce. Core Vol 6 Part E 2.1. */
export type Direction = 'central-to-peripheral' | 'peripheral-to-central';

/** What both ends contribute, as the octets stand in LL_ENC_REQ and LL_ENC_RSP: least significant first. */
export type KeyMaterial = {
  /** 8 octets each. */
  readonly centralDiversifier: Bytes;
  readonly peripheralDiversifier: Bytes;
  /** 4 octets each. */
  readonly centralVector: Bytes;
  readonly peripheralVector: Bytes;
};

/**
 * Session key: e(LTK, SKD), SKD being the peripheral's half above the central's. Core Vol 6 Part B 5.1.3.1.
 *
 * @param longTermKey 16 octets, least significant first as in HCI
 * @returns 16 octets, most significant first
 */
export function sessionKey(longTermKey: Bytes, material: KeyMaterial): Bytes {
  const diversifier = concat(reversed(material.peripheralDiversifier), reversed(material.centralDiversifier));
  return aesBlock(reversed(longTermKey), diversifier);
}

/** Bits of the header's first octet that are authenticated: all but NESN, SN and MD. Core Vol 6 Part E 2.2. */
const authenticatedBits = 0xe3;

/** One direction of an encrypted connection: its key, its nonce and its packet counter. Core Vol 6 Part E. */
export class LinkCipher {
  readonly #key: Bytes;
  readonly #vector: Bytes;
  readonly #direction: Direction;
  #counter = 0;

  /** @param key session key, most significant octet first */
  constructor(key: Bytes, material: KeyMaterial, direction: Direction) {
    this.#key = key;
    this.#vector = concat(material.centralVector, material.peripheralVector);
    this.#direction = direction;
  }

  /** Packets so far in this direction; 39 bits in the nonce. */
  get counter(): number {
    return this.#counter;
  }

  /** Payload and MIC for the next new packet. */
  seal(header: number, payload: Bytes): Bytes {
    const sealed = seal(this.#key, this.#nonce(), header & authenticatedBits, payload);
    this.#counter += 1;
    return sealed;
  }

  /** The payload of the next new packet; `undefined` when its MIC does not fit: the connection is then to be given up. */
  unseal(header: number, sealed: Bytes): Bytes | undefined {
    const payload = unseal(this.#key, this.#nonce(), header & authenticatedBits, sealed);
    this.#counter += 1;
    return payload;
  }

  #nonce(): Bytes {
    const nonce = new Uint8Array(13);
    let rest = this.#counter;
    for (let i = 0; i < 5; i++) {
      nonce[i] = rest % 256;
      rest = Math.floor(rest / 256);
    }
    nonce[4] = ((nonce[4] ?? 0) & 0x7f) | (this.#direction === 'central-to-peripheral' ? 0x80 : 0);
    nonce.set(this.#vector, 5);
    return nonce;
  }
}
