import type { Bytes } from '../base/bytes.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { Clock } from '../base/clock.ts';
import type { H4Port } from './h4-port.ts';

/** Two ends of one stream in memory. `close` tells both listeners that the other end has gone. */
export type PortPair = { readonly host: H4Port; readonly controller: H4Port; close(): void };

/**
 * Octets arrive `delay` after they were sent, in order, and never within the call that sends them: neither end is called
 * back while it is at work. What arrives before there is a listener waits for one. After `close` nothing arrives.
 */
export function portPair(clock: Clock, delay: Microseconds = us(0)): PortPair {
  let closed = false;
  const host = new End();
  const controller = new End();
  const port = (near: End, far: End): H4Port => ({
    send: (octets) => {
      if (closed) return;
      const copy = octets.slice();
      clock.schedule(us(clock.now() + delay), () => {
        if (!closed) far.receive(copy);
      });
    },
    onOctets: (listener) => {
      near.listen(listener);
    },
    onClose: (listener) => {
      near.closed = listener;
    },
  });
  return {
    host: port(host, controller),
    controller: port(controller, host),
    close: () => {
      if (closed) return;
      closed = true;
      for (const end of [host, controller]) end.closed?.();
    },
  };
}

class End {
  #listener: ((octets: Bytes) => void) | undefined;
  #early: Bytes[] = [];
  closed: (() => void) | undefined;

  listen(listener: (octets: Bytes) => void): void {
    this.#listener = listener;
    for (const octets of this.#early.splice(0)) listener(octets);
  }

  receive(octets: Bytes): void {
    if (this.#listener === undefined) this.#early.push(octets);
    else this.#listener(octets);
  }
}
