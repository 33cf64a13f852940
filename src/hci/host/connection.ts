import type { Bytes } from '../../base/bytes.ts';
import type { Cancel } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import type { ConnectionParameters } from '../../att/link.ts';
import type { DeviceAddress } from '../address.ts';
import type { Fragment, Frame } from '../l2cap.ts';
import type { AclQueue } from './acl-queue.ts';

export type Role = 'central' | 'peripheral';

/** Octets of one link-layer packet each way, without the MIC. */
export type DataLength = { readonly tx: number; readonly rx: number };

/** 1 = 1M, 2 = 2M, 3 = coded, each way. */
export type Phys = { readonly tx: number; readonly rx: number };

/** One connection of a host: its channels and what its link is like. */
export class HostConnection {
  readonly handle: number;
  readonly role: Role;
  readonly peer: DeviceAddress;
  readonly #queue: AclQueue;
  readonly #frames = new Set<(frame: Frame) => void>();
  readonly #ends = new Set<(reason: number) => void>();
  #reason: number | undefined;
  /** Kept by the host. */
  parameters: ConnectionParameters;
  dataLength: DataLength = { tx: 27, rx: 27 };
  phys: Phys = { tx: 1, rx: 1 };

  constructor(handle: number, role: Role, peer: DeviceAddress, parameters: ConnectionParameters, queue: AclQueue) {
    this.handle = handle;
    this.role = role;
    this.peer = peer;
    this.parameters = parameters;
    this.#queue = queue;
  }

  get isOpen(): boolean {
    return this.#reason === undefined;
  }

  /** Why it ended, as a code of the controller (error-codes.ts); `undefined` while it lasts. */
  get reason(): number | undefined {
    return this.#reason;
  }

  /** Sends a frame; see {@link AclQueue.send} for `replaces`. */
  send(channel: number, payload: Bytes, replaces?: (waiting: Frame) => boolean): void {
    if (this.isOpen) this.#queue.send(this.handle, { channel, payload }, replaces);
  }

  /** Sends fragments as they are: what a well-behaved host never would. */
  sendFragments(fragments: readonly Fragment[]): void {
    if (this.isOpen) this.#queue.sendFragments(this.handle, fragments);
  }

  /** Octets that one fragment may have. */
  get fragmentSize(): number {
    return this.#queue.size;
  }

  /** Called for each whole frame on any channel, once the host has looked at it. Returns how to stop. */
  onFrame(listener: (frame: Frame) => void): Cancel {
    this.#frames.add(listener);
    return () => {
      this.#frames.delete(listener);
    };
  }

  /** Called once, at once if it has ended already. */
  onEnd(listener: (reason: number) => void): void {
    if (this.#reason === undefined) this.#ends.add(listener);
    else listener(this.#reason);
  }

  /** For the host: a frame came. */
  take(frame: Frame): void {
    for (const listener of [...this.#frames]) listener(frame);
  }

  /** For the host: the connection has ended. */
  end(reason: number): void {
    if (this.#reason !== undefined) return;
    this.#reason = reason;
    for (const listener of [...this.#ends]) listener(reason);
    this.#ends.clear();
    this.#frames.clear();
  }
}

/** From the units of the air: intervals of 1.25 ms, timeouts of 10 ms. */
export function parametersOfAir(air: {
  readonly interval: number;
  readonly latency: number;
  readonly timeout: number;
}): ConnectionParameters {
  return { interval: us(air.interval * 1250), latency: air.latency, timeout: us(air.timeout * 10_000) };
}
