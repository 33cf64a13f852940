import { concat, type Bytes } from '../base/bytes.ts';
import { adTypeLabel } from '../numbers/ad-types.ts';
import type { AdElement, AdvertisingData } from './model.ts';

/** Octets of legacy advertising or scan response data at most. Core Vol 6 Part B 2.3.1. */
export const blockSize = 31;

/** One AD structure to be: type, data, and what it says for people. */
export type AdItem = { readonly type: number; readonly data: Bytes; readonly about: string };

/** Advertising or scan response data while it is filled. */
export class AdvertisingBlock {
  #bytes: Bytes = new Uint8Array(0);
  readonly #elements: AdElement[] = [];
  readonly #cut: { readonly what: string; readonly why: string }[] = [];

  /** Octets of data that one more AD structure may have; below 0 when not even an empty one fits. */
  get room(): number {
    return blockSize - this.#bytes.length - 2;
  }

  /** Adds length, type and data (Core Vol 3 Part C 11) if they fit; tells whether they did. */
  add({ type, data, about }: AdItem): boolean {
    if (data.length > this.room) return false;
    const length = 2 + data.length;
    const name = adTypeLabel(type) ?? `AD type ${type}`;
    this.#elements.push({ type, name, offset: this.#bytes.length, length, about });
    this.#bytes = concat(this.#bytes, [1 + data.length, type], data);
    return true;
  }

  /** Notes what was wished for and is not here, or only in part. */
  miss(what: string, why: string): void {
    this.#cut.push({ what, why });
  }

  finish(): AdvertisingData {
    return { bytes: this.#bytes, elements: this.#elements, cut: this.#cut };
  }
}
