import { noBytes, type Bytes } from '../base/bytes.ts';
import type { ConsolePort } from '../att/link.ts';
import { ConsoleLines, type LineTroubles } from '../ledger/console-lines.ts';
import { encodeUtf8 } from '../values/utf8.ts';

/** Octets both ways, in order, in pieces of any size: a serial line, a pipe, a socket. */
export type BytePort = {
  send(octets: Bytes): void;
  /** At most one listener; a second takes the first one's place. */
  onOctets(listener: (octets: Bytes) => void): void;
  /** Called once when the other end has gone, at once if it has gone already. */
  onClose(listener: () => void): void;
};

/** A console over octets. After its end it takes lines and does nothing with them. */
export type StreamConsole = ConsolePort & {
  readonly isOpen: boolean;
  /** What came that is no line. */
  readonly troubles: LineTroubles;
  /** Called once when the other end has gone. */
  onEnd(listener: () => void): void;
};

/**
 * The board's console over any stream of octets. Noise, half lines and floods pass through it as the lines they hold or
 * do not hold; a stream that ends leaves no half line behind.
 */
export function streamConsole(port: BytePort): StreamConsole {
  const listeners = new Set<(line: string) => void>();
  const enders = new Set<() => void>();
  let open = true;
  const lines = new ConsoleLines((line) => {
    for (const listener of listeners) listener(line);
  });
  port.onOctets((octets) => {
    if (open) lines.take(octets);
  });
  port.onClose(() => {
    if (!open) return;
    open = false;
    lines.reset();
    for (const ender of enders) ender();
    enders.clear();
  });
  return {
    get isOpen() {
      return open;
    },
    get troubles() {
      return lines.troubles;
    },
    send(line) {
      // A line end within would make it two commands.
      if (open) port.send(encodeUtf8(`${line.replace(/[\r\n]+/g, ' ')}\r\n`));
    },
    onLine(listener) {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    onEnd(listener) {
      if (open) enders.add(listener);
      else listener();
    },
  };
}

/** What has come before anybody listened, kept for the first who does. */
export class EarlyOctets {
  #take: ((octets: Bytes) => void) | undefined;
  #early: Bytes = noBytes;

  put(octets: Bytes): void {
    if (this.#take !== undefined) {
      this.#take(octets);
      return;
    }
    const joined = new Uint8Array(this.#early.length + octets.length);
    joined.set(this.#early);
    joined.set(octets, this.#early.length);
    this.#early = joined.length > mostEarly ? joined.slice(-mostEarly) : joined;
  }

  listen(take: (octets: Bytes) => void): void {
    this.#take = take;
    const early = this.#early;
    this.#early = noBytes;
    if (early.length > 0) take(early);
  }
}

/** Octets that are kept for a late listener: a second of 1 Mbaud. */
const mostEarly = 100_000;
