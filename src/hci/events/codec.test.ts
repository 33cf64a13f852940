import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromHex, toHex, type Bytes } from '../../base/bytes.ts';
import { decodePacket, encodePacket, type EventPacket } from '../packet.ts';
import { decodeEvent, encodeEvent } from './codec.ts';

const bytes = (text: string): Bytes => fromHex(text)!;
const event = (text: string): EventPacket => decodePacket(bytes(text)) as EventPacket;

describe('events', () => {
  // A public test suite of HCI packets: a connection that failed with status 2.
  it('read LE Connection Complete as recorded', () => {
    expect(decodeEvent(event('043e1301020000000112345667789000000000000000'))).toEqual({
      kind: 'le-connection-complete',
      status: 2,
      handle: 0,
      role: 0,
      peerAddressType: 1,
      peerAddress: '90:78:67:56:34:12',
      interval: 0,
      latency: 0,
      timeout: 0,
      clockAccuracy: 0,
    });
  });

  // Core Vol 4 Part E 7.7.65.2 and 5.2: all parameters of one report together, then the next.
  it("read several advertising reports, RSSI in two's complement", () => {
    const advertisement = '0001' + '6655443322c1' + '03020106' + 'c4';
    const response = '0401' + '6655443322c1' + '00' + '7f';
    const decoded = decodeEvent(event('043e190202' + advertisement + response));
    expect(decoded).toEqual({
      kind: 'le-advertising-report',
      reports: [
        { type: 0, addressType: 1, address: 'c1:22:33:44:55:66', data: bytes('020106'), rssi: -60 },
        { type: 4, addressType: 1, address: 'c1:22:33:44:55:66', data: bytes(''), rssi: 127 },
      ],
    });
  });

  it('are written as the standard lays them out', () => {
    const disconnected = encodeEvent('disconnection-complete', { status: 0, handle: 0x40, reason: 0x13 });
    expect(toHex(encodePacket(disconnected))).toBe('04050400400013');
    const sent = encodeEvent('number-of-completed-packets', { completed: [{ handle: 0x40, count: 2 }] });
    expect(toHex(encodePacket(sent))).toBe('0413050140000200');
    const asked = encodeEvent('le-long-term-key-request', {
      handle: 1,
      random: new Uint8Array(8),
      diversifier: 0x2474,
    });
    expect(toHex(encodePacket(asked))).toBe('043e0d05' + '0100' + '00'.repeat(8) + '7424');
  });

  it('keep what they do not know as it came', () => {
    expect(decodeEvent(event('042f0101'))).toEqual({
      kind: 'raw',
      code: 0x2f,
      subevent: undefined,
      octets: bytes('01'),
    });
    expect(decodeEvent(event('043e02ee07'))).toEqual({ kind: 'raw', code: 0x3e, subevent: 0xee, octets: bytes('07') });
    expect(decodeEvent(event('04050100')).kind).toBe('raw');
  });

  it('survive decoding and encoding', () => {
    const any = fc
      .tuple(fc.constantFrom(0x05, 0x08, 0x0c, 0x0e, 0x0f, 0x10, 0x13, 0x3e), fc.uint8Array({ maxLength: 60 }))
      .map(([code, parameters]): EventPacket => ({ kind: 'event', code, parameters }));
    fc.assert(
      fc.property(any, (packet) => {
        const decoded = decodeEvent(packet);
        if (decoded.kind === 'raw') return;
        expect(encodeEvent(decoded.kind, decoded as never)).toEqual(packet);
      }),
      { numRuns: 300 },
    );
  });
});
