import type { Duplex } from 'node:stream';
import { noBytes, type Bytes } from '../base/bytes.ts';
import type { H4Port } from '../hci/h4-port.ts';

/** An H4 stream over a socket or a serial device. What cannot be sent any more is dropped; `onClose` has told why. */
export function streamPort(stream: Duplex): H4Port {
  let take: ((octets: Bytes) => void) | undefined;
  let early: Bytes = noBytes;
  let closed = false;
  let tell: (() => void) | undefined;
  stream.on('data', (chunk: Uint8Array) => {
    const octets = Uint8Array.from(chunk);
    if (take === undefined) early = Buffer.concat([early, octets]);
    else take(octets);
  });
  const end = (): void => {
    if (closed) return;
    closed = true;
    stream.destroy();
    tell?.();
  };
  // The other end may go in many ways; each ends the stream once.
  for (const event of ['end', 'close', 'error'] as const) stream.on(event, end);
  return {
    send: (octets) => {
      if (!closed) stream.write(octets);
    },
    onOctets: (listener) => {
      take = listener;
      const octets = early;
      early = noBytes;
      if (octets.length > 0) listener(Uint8Array.from(octets));
    },
    onClose: (listener) => {
      tell = listener;
      if (closed) listener();
    },
  };
}
