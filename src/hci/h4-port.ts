import type { Bytes } from '../base/bytes.ts';

/**
 * One end of an H4 byte stream (Core Vol 4 Part A): a host and a controller each hold one, and what one sends the other
 * receives. The stream keeps octets in order and nothing else: a packet may arrive in pieces, or several at once.
 */
export type H4Port = {
  send(octets: Bytes): void;
  /** At most one listener; a second takes the first one's place. */
  onOctets(listener: (octets: Bytes) => void): void;
  /** Called once when the other end has gone: a process ended, a socket was closed. */
  onClose(listener: () => void): void;
};
