import { bug } from '../base/bug.ts';
import { concat, readU16le, u16le, type Bytes } from '../base/bytes.ts';

/** Fixed channels of an LE link, Core Vol 3 Part A 2.1 table 2.2. */
export const fixedChannel = { attribute: 0x0004, signalling: 0x0005, securityManager: 0x0006 } as const;

/** Length and channel identifier, Core Vol 3 Part A 3.1. */
const headerLength = 4;

/** A basic frame: what one side gives a channel and the other side takes from it. */
export type Frame = { readonly channel: number; readonly payload: Bytes };

/** The octets of a frame: length of the payload, channel, payload; at most 65,535 octets of payload. */
export function encodeFrame({ channel, payload }: Frame): Bytes {
  return concat(u16le(payload.length), u16le(channel), payload);
}

/** Whether the octets of an ACL packet begin a frame or go on with one. */
export type Boundary = 'first' | 'continuing';

export type Fragment = { readonly boundary: Boundary; readonly data: Bytes };

/**
 * Cuts a frame into what a controller takes at once.
 *
 * @param frame as {@link encodeFrame} gives it
 * @param size octets of data in one ACL packet, at least 1
 */
export function fragment(frame: Bytes, size: number): readonly Fragment[] {
  bug(size >= 1, 'an ACL packet carries at least one octet');
  const fragments: Fragment[] = [];
  for (let at = 0; at < frame.length; at += size) {
    fragments.push({ boundary: at === 0 ? 'first' : 'continuing', data: frame.subarray(at, at + size) });
  }
  return fragments;
}

export type Reassembled =
  | { readonly kind: 'frame'; readonly frame: Frame }
  /** What came is no frame and is gone; `about` says how, as a sentence part. */
  | { readonly kind: 'dropped'; readonly about: string };

/**
 * Puts the frames of one link together again. What does not fit is dropped and said so; the next first fragment begins
 * anew (Core Vol 3 Part A 7.2.2: a frame whose continuation is missing is discarded).
 */
export class Reassembler {
  readonly #most: number;
  #parts: Bytes[] = [];
  /** Octets there are, of octets there must be; the latter is unknown before the header is whole. */
  #length = 0;
  /** True while a frame that was dropped goes on. */
  #skipping = true;

  /** @param most octets of payload that are taken; a longer frame is dropped */
  constructor(most: number) {
    this.#most = most;
  }

  /** Takes the data of one ACL packet; gives at most one frame, and what was dropped for it. */
  take(boundary: Boundary, data: Bytes): readonly Reassembled[] {
    const given: Reassembled[] = [];
    if (boundary === 'first') {
      if (this.#length > 0) {
        given.push(dropped(`a frame was cut off after ${this.#length} of its octets`));
      }
      this.#parts = [];
      this.#length = 0;
      this.#skipping = false;
    } else if (this.#skipping) {
      return [dropped('a fragment goes on with a frame that was not begun')];
    }
    this.#parts.push(data.slice());
    this.#length += data.length;
    given.push(...this.#whole());
    return given;
  }

  #whole(): readonly Reassembled[] {
    if (this.#length < headerLength) return [];
    const octets = concat(...this.#parts);
    this.#parts = [octets];
    const length = readU16le(octets, 0) ?? 0;
    const channel = readU16le(octets, 2) ?? 0;
    if (length > this.#most) {
      return this.#drop(`a frame of ${length} octets is longer than the ${this.#most} that are taken`);
    }
    const end = headerLength + length;
    if (octets.length > end)
      return this.#drop(`a frame of length ${length} has ${octets.length - headerLength} octets`);
    if (octets.length < end) return [];
    this.#forget();
    return [{ kind: 'frame', frame: { channel, payload: octets.subarray(headerLength) } }];
  }

  #drop(about: string): readonly Reassembled[] {
    this.#forget();
    return [dropped(about)];
  }

  #forget(): void {
    this.#parts = [];
    this.#length = 0;
    this.#skipping = true;
  }
}

function dropped(about: string): Reassembled {
  return { kind: 'dropped', about };
}
