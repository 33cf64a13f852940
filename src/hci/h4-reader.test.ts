import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { concat, fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { H4Reader, type H4End, type H4Item } from './h4-reader.ts';
import { decodePacket, encodePacket, type HciPacket } from './packet.ts';

const bytes = (text: string): Bytes => fromHex(text)!;
const octets = (most: number): fc.Arbitrary<Bytes> => fc.uint8Array({ maxLength: most });

const events: fc.Arbitrary<HciPacket> = fc
  .tuple(fc.nat(255), octets(255))
  .map(([code, parameters]) => ({ kind: 'event', code, parameters }));
const data: fc.Arbitrary<HciPacket> = fc
  .tuple(fc.nat(0xfff), fc.nat(3), fc.nat(3), octets(600))
  .map(([handle, boundary, broadcast, part]) => ({ kind: 'acl', handle, boundary, broadcast, data: part }));
const commands: fc.Arbitrary<HciPacket> = fc
  .tuple(fc.nat(0xffff), octets(255))
  .map(([opcode, parameters]) => ({ kind: 'command', opcode, parameters }));

function readAll(end: H4End, stream: Bytes, cuts: readonly number[]): readonly H4Item[] {
  const reader = new H4Reader(end);
  const places = [...cuts.map((cut) => cut % (stream.length + 1)), stream.length].sort((a, b) => a - b);
  let from = 0;
  return places.flatMap((to) => {
    const items = reader.push(stream.subarray(from, to));
    from = to;
    return items;
  });
}

describe('reading an H4 stream', () => {
  it('gives the packets that were written, however the stream is cut', () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(events, data, commands)), fc.array(fc.nat()), (packets, cuts) => {
        const stream = concat(...packets.map(encodePacket));
        expect(readAll('onlooker', stream, cuts)).toEqual(packets);
      }),
      { numRuns: 200 },
    );
  });

  it('takes any octets without failing, and gives the same items however they are cut', () => {
    fc.assert(
      fc.property(
        octets(200),
        fc.array(fc.nat()),
        fc.constantFrom<H4End>('host', 'controller', 'onlooker'),
        (stream, cuts, end) => {
          expect(readAll(end, stream, cuts)).toEqual(readAll(end, stream, []));
        },
      ),
      { numRuns: 300 },
    );
  });

  // A public test suite of HCI packets: Read By Type Response in ACL data.
  it('reads ACL data as recorded', () => {
    const octetsOfOne = bytes('0248201b001700040009070200020300002a0400020500012a0600020700042a');
    const [packet] = new H4Reader('host').push(octetsOfOne);
    expect(packet).toMatchObject({ kind: 'acl', handle: 0x048, boundary: 2, broadcast: 0 });
    expect(toHex((packet as { data: Bytes }).data)).toBe('1700040009070200020300002a0400020500012a0600020700042a');
  });

  // Core Vol 4 Part A 4: both ends find each other again by HCI_Reset.
  it('waits for the completed reset after octets that make no sense to a host', () => {
    const boot = bytes('48656c6c6f0d0a');
    const event = bytes('0410 01 42');
    const reset = bytes('040e0401030c00');
    const reader = new H4Reader('host');
    expect(reader.push(concat(boot, event))).toEqual([{ kind: 'lost-sync', octet: 0x48 }]);
    expect(reader.lost).toBe(true);
    const items = reader.push(concat(reset, event));
    expect(items.map((item) => item.kind)).toEqual(['event', 'event']);
    expect(reader.lost).toBe(false);
    expect(reader.thrownAway).toBe(boot.length + event.length);
  });

  it('waits for the reset command after octets that make no sense to a controller', () => {
    const reader = new H4Reader('controller');
    expect(reader.push(bytes('04ff01'))).toEqual([{ kind: 'lost-sync', octet: 4 }]);
    expect(reader.push(bytes('0103'))).toEqual([]);
    expect(reader.push(bytes('0c'))).toEqual([]);
    expect(reader.push(bytes('00'))).toEqual([{ kind: 'command', opcode: 0x0c03, parameters: new Uint8Array(0) }]);
  });

  it('does not take a failed reset for the way back', () => {
    const reader = new H4Reader('host');
    reader.push(bytes('ee'));
    expect(reader.push(bytes('040e0401030c0c'))).toEqual([]);
    expect(reader.lost).toBe(true);
  });
});

describe('one packet', () => {
  it('is refused when an octet is missing or too many', () => {
    const whole = bytes('0410 01 42');
    expect(decodePacket(whole)).toEqual({ kind: 'event', code: 0x10, parameters: bytes('42') });
    expect(decodePacket(whole.subarray(0, 3))).toBeUndefined();
    expect(decodePacket(concat(whole, [0]))).toBeUndefined();
    expect(decodePacket(bytes(''))).toBeUndefined();
  });

  it('keeps isochronous and synchronous data as they are', () => {
    // Length of isochronous data has 14 bits; the two top bits are reserved (Core Vol 4 Part E 5.4.5).
    for (const text of ['0510200240aabb', '03010002aabb']) {
      const packet = decodePacket(bytes(text))!;
      expect(toHex(encodePacket(packet))).toBe(text);
    }
  });
});
