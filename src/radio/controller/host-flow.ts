import { boundary, type AclPacket } from '../../hci/packet.ts';

/** Packets for the host that are kept while it has no room, as far as the controller's own buffers go. */
const ownBuffers = 8;

/**
 * Data on its way to the host. Unless the host has asked for flow control it is passed on at once; else no more than the
 * host has buffers for, and when the controller's own are full too the other end's packets are not acknowledged. Core Vol 4
 * Part E 4.2.
 */
export class HostFlow {
  readonly #send: (packet: AclPacket) => void;
  #enabled = false;
  #buffers = 0;
  readonly #kept: AclPacket[] = [];
  /** By connection handle. */
  readonly #atHost = new Map<number, number>();

  constructor(send: (packet: AclPacket) => void) {
    this.#send = send;
  }

  reset(): void {
    this.#enabled = false;
    this.#buffers = 0;
    this.#kept.length = 0;
    this.#atHost.clear();
  }

  enable(on: boolean): void {
    this.#enabled = on;
    this.#work();
  }

  /** How many packets the host has room for. */
  setBuffers(count: number): void {
    this.#buffers = count;
    this.#work();
  }

  get hasRoom(): boolean {
    return !this.#enabled || this.#kept.length < ownBuffers;
  }

  data(handle: number, start: boolean, data: AclPacket['data']): void {
    const flag = start ? boundary.firstFlushable : boundary.continuing;
    this.#kept.push({ kind: 'acl', handle, boundary: flag, broadcast: 0, data });
    this.#work();
  }

  /** The host has done with packets. Tells whether it had so many. */
  completed(handle: number, count: number): boolean {
    const there = this.#atHost.get(handle) ?? 0;
    this.#atHost.set(handle, Math.max(0, there - count));
    this.#work();
    return count <= there;
  }

  /** A connection has ended: the host's buffers for it are free. */
  close(handle: number): void {
    this.#atHost.delete(handle);
    const left = this.#kept.filter((packet) => packet.handle !== handle);
    this.#kept.splice(0, this.#kept.length, ...left);
    this.#work();
  }

  #work(): void {
    for (;;) {
      const packet = this.#kept[0];
      if (packet === undefined || (this.#enabled && this.#taken() >= this.#buffers)) return;
      this.#kept.shift();
      if (this.#enabled) this.#atHost.set(packet.handle, (this.#atHost.get(packet.handle) ?? 0) + 1);
      this.#send(packet);
    }
  }

  #taken(): number {
    let sum = 0;
    for (const count of this.#atHost.values()) sum += count;
    return sum;
  }
}
