import { concat, u16le, type Bytes } from '../base/bytes.ts';
import { Gate } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { LowerLayers } from '../att/link.ts';
import type { Client } from './client.ts';
import type { Trial } from './trial.ts';
import { hexWords } from './words.ts';

/**
 * A connection below ATT, for cases that look there. Frames and signals are written down here once more and on purpose
 * without the engine's codec, as ATT's are in wire.ts. Core Vol 3 Part A throughout.
 */

/** Fixed channels, Core Vol 3 Part A 2.1. */
export const channel = { attribute: 0x0004, signalling: 0x0005, security: 0x0006 } as const;

export type Part = { readonly boundary: 'first' | 'continuing'; readonly data: Bytes };

/** Octets of a frame: the length its header says, the channel, the payload. */
export const frame = (to: number, payload: Bytes, length = payload.length): Bytes =>
  concat(u16le(length), u16le(to), payload);

export const first = (data: Bytes): Part => ({ boundary: 'first', data });
export const continuing = (data: Bytes): Part => ({ boundary: 'continuing', data });

/** A frame in parts of at most `size` octets. */
export function inParts(octets: Bytes, size: number): readonly Part[] {
  const parts: Part[] = [];
  for (let at = 0; at < octets.length; at += size) {
    const data = octets.subarray(at, at + size);
    parts.push(at === 0 ? first(data) : continuing(data));
  }
  return parts;
}

/** What is below one client's connection. After the case's verdict stands it does nothing. */
export class Below {
  readonly #trial: Trial;
  readonly #client: Client;

  constructor(trial: Trial, client: Client) {
    this.#trial = trial;
    this.#client = client;
  }

  get lower(): LowerLayers | undefined {
    return this.#trial.over ? undefined : this.#client.connection?.lower;
  }

  /** Sends parts as they are. */
  send(parts: readonly Part[], what: string): void {
    this.#trial.remark(`${what}: ${parts.map(({ data }) => hexWords(data)).join(' | ')}`);
    this.lower?.sendFragments(parts);
  }

  /** Waits for the next frame on a channel; `undefined` when none comes within `wait`. */
  async next(on: number, wait: Microseconds, since: () => void = nothing): Promise<Bytes | undefined> {
    const came = new Gate();
    let payload: Bytes | undefined;
    const stop = this.lower?.onFrame((given) => {
      if (given.channel !== on || payload !== undefined) return;
      payload = given.payload;
      came.open();
    });
    since();
    if (!this.#trial.over) await this.#trial.link.clock.waitFor(came, wait);
    stop?.();
    if (payload !== undefined) this.#trial.remark(`on channel ${on} comes ${hexWords(payload)}`);
    return payload;
  }

  /** Sends parts and waits for the next frame on `on`. */
  ask(parts: readonly Part[], what: string, on: number, wait: Microseconds): Promise<Bytes | undefined> {
    return this.next(on, wait, () => {
      this.send(parts, what);
    });
  }

  /** Listens for frames on any channel for `wait`. */
  async listen(wait: Microseconds): Promise<readonly { readonly channel: number; readonly payload: Bytes }[]> {
    const heard: { readonly channel: number; readonly payload: Bytes }[] = [];
    const stop = this.lower?.onFrame((given) => heard.push(given));
    await this.#trial.pass(us(wait));
    stop?.();
    return heard;
  }
}

function nothing(): void {
  // Nothing to send first.
}
