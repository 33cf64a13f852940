import fc from 'fast-check';
import { concat } from '../../src/base/bytes.ts';
import { encodeFrame } from '../../src/hci/l2cap.ts';
import { encodePacket } from '../../src/hci/packet.ts';

/** Packets as a controller sends them, true and damaged, and what is none. */
export const arbitraryHciPacket = fc.oneof(
  {
    weight: 4,
    arbitrary: fc
      .tuple(fc.constantFrom(0x05, 0x08, 0x0e, 0x0f, 0x10, 0x13, 0x30, 0x3e, 0xff), fc.uint8Array({ maxLength: 40 }))
      .map(([code, parameters]) => encodePacket({ kind: 'event', code, parameters })),
  },
  {
    weight: 3,
    arbitrary: fc
      .tuple(
        fc.constantFrom(1, 3, 5, 6, 0x0a, 0x0b),
        fc.constantFrom(10, 11, 13, 19, 31),
        fc.constantFrom(0x40, 0x41, 0x42),
        fc.uint8Array({ minLength: 31, maxLength: 31 }),
      )
      .map(([subevent, length, handle, octets]) =>
        encodePacket({
          kind: 'event',
          code: 0x3e,
          parameters: concat([subevent, 0, handle, 0, 1], octets).slice(0, length),
        }),
      ),
  },
  {
    weight: 4,
    arbitrary: fc
      .record({
        handle: fc.constantFrom(0x40, 0x41, 0x42, 0x700),
        boundary: fc.nat(3),
        channel: fc.constantFrom(4, 5, 6, 7),
        payload: fc.uint8Array({ maxLength: 60 }),
        error: fc.constantFrom(0, 0, 0, 1, -1, 200),
      })
      .map(({ handle, boundary, channel, payload, error }) => {
        const data = encodeFrame({ channel, payload });
        data[0] = Math.max(0, (data[0] ?? 0) + error) & 0xff;
        return encodePacket({ kind: 'acl', handle, boundary, broadcast: 0, data });
      }),
  },
  { weight: 1, arbitrary: fc.uint8Array({ minLength: 1, maxLength: 12 }) },
);
