import { boundary, type AclPacket } from '../packet.ts';
import { encodeFrame, fragment, type Fragment, type Frame } from '../l2cap.ts';

/** A frame on its way to the controller. */
type Outgoing = { readonly frame: Frame | undefined; readonly fragments: Fragment[]; begun: boolean };

/**
 * Gives a controller no more ACL packets than it has buffers for (Core Vol 4 Part E 4.1.1). Connections take turns by
 * fragment, so that a long frame of one does not hold up the others; frames of one connection stay in order.
 */
export class AclQueue {
  readonly #send: (packet: AclPacket) => void;
  #size = 27;
  #free = 0;
  /** By connection handle. */
  readonly #queues = new Map<number, Outgoing[]>();
  readonly #atController = new Map<number, number>();
  /** Who sent last: the others come first. */
  #turn: number[] = [];

  constructor(send: (packet: AclPacket) => void) {
    this.#send = send;
  }

  /**
   * Begins anew with what the controller says it has.
   *
   * @param size octets of data in one packet, at least 27
   * @param count packets at once, at least 1
   */
  reset(size: number, count: number): void {
    this.#size = size;
    this.#free = count;
    this.#queues.clear();
    this.#atController.clear();
    this.#turn = [];
  }

  open(handle: number): void {
    this.#queues.set(handle, []);
    this.#atController.set(handle, 0);
    this.#turn.push(handle);
  }

  /** What the controller still holds for the connection is gone and its buffers are free. Core Vol 4 Part E 4.1.1. */
  close(handle: number): void {
    this.#free += this.#atController.get(handle) ?? 0;
    this.#queues.delete(handle);
    this.#atController.delete(handle);
    this.#turn = this.#turn.filter((other) => other !== handle);
    this.#work();
  }

  /**
   * Sends a frame when its turn comes.
   *
   * @param replaces true for a waiting frame whose place this one takes: what is newer makes it needless
   */
  send(handle: number, frame: Frame, replaces?: (waiting: Frame) => boolean): void {
    const queue = this.#queues.get(handle);
    if (queue === undefined) return;
    const outgoing = { frame, fragments: [...fragment(encodeFrame(frame), this.#size)], begun: false };
    const old =
      replaces === undefined
        ? -1
        : queue.findIndex((waiting) => !waiting.begun && waiting.frame !== undefined && replaces(waiting.frame));
    if (old < 0) queue.push(outgoing);
    else queue[old] = outgoing;
    this.#work();
  }

  /** Sends fragments as they are, each at most as long as the controller takes: what a well-behaved host never would. */
  sendFragments(handle: number, fragments: readonly Fragment[]): void {
    this.#queues.get(handle)?.push({ frame: undefined, fragments: [...fragments], begun: false });
    this.#work();
  }

  /** The controller has done with `count` packets of a connection. */
  completed(handle: number, count: number): void {
    const there = this.#atController.get(handle);
    if (there === undefined) return;
    // A controller that gives back more than it was given would make the host flood it.
    const freed = Math.min(count, there);
    this.#atController.set(handle, there - freed);
    this.#free += freed;
    this.#work();
  }

  /** Octets that one fragment may have. */
  get size(): number {
    return this.#size;
  }

  #work(): void {
    while (this.#free > 0) {
      const handle = this.#turn.find((candidate) => (this.#queues.get(candidate)?.length ?? 0) > 0);
      if (handle === undefined) return;
      const queue = this.#queues.get(handle) ?? [];
      const [outgoing] = queue;
      const next = outgoing?.fragments.shift();
      if (outgoing !== undefined) outgoing.begun = true;
      if (outgoing?.fragments.length === 0) queue.shift();
      this.#turn = [...this.#turn.filter((other) => other !== handle), handle];
      if (next === undefined) continue;
      this.#free -= 1;
      this.#atController.set(handle, (this.#atController.get(handle) ?? 0) + 1);
      this.#send({
        kind: 'acl',
        handle,
        boundary: next.boundary === 'first' ? boundary.first : boundary.continuing,
        broadcast: 0,
        data: next.data,
      });
    }
  }
}
