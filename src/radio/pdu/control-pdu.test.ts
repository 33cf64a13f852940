import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromHex, toHex, type Bytes } from '../../base/bytes.ts';
import { decodeConnectData, encodeAdvertisingPdu, encodeConnectData } from './advertising-pdu.ts';
import { decodeControl, encodeControl } from './control-pdu.ts';

const bytes = (text: string): Bytes => fromHex(text)!;

describe('control PDUs', () => {
  // Core Vol 6 Part B 2.4.2, laid out by hand.
  it('are written as the standard lays them out', () => {
    expect(toHex(encodeControl({ kind: 'terminate-ind', reason: 0x13 }))).toBe('0213');
    expect(toHex(encodeControl({ kind: 'reject-ext-ind', rejectOpcode: 0x0f, error: 0x1e }))).toBe('110f1e');
    const update = { windowSize: 1, windowOffset: 2, interval: 24, latency: 3, timeout: 72, instant: 0x1234 };
    expect(toHex(encodeControl({ kind: 'connection-update-ind', ...update }))).toBe(
      '00' + '01' + '0200' + '1800' + '0300' + '4800' + '3412',
    );
    const lengths = { maxRxOctets: 251, maxRxTime: 2120, maxTxOctets: 27, maxTxTime: 328 };
    expect(toHex(encodeControl({ kind: 'length-req', ...lengths }))).toBe('14' + 'fb00' + '4808' + '1b00' + '4801');
  });

  // Sample data for LE encryption, Core Vol 6 Part C 1: LL_ENC_REQ and LL_ENC_RSP with the values printed there.
  it('carry what encryption starts from', () => {
    const request = decodeControl(bytes('03' + '9078563412efcdab' + '7424' + '1302f1e0dfcebdac' + '24abdcba'));
    expect(request).toEqual({
      kind: 'enc-req',
      random: bytes('9078563412efcdab'),
      diversifier: 0x2474,
      centralDiversifier: bytes('1302f1e0dfcebdac'),
      centralVector: bytes('24abdcba'),
    });
  });

  it('survive decoding and encoding, and take any octets', () => {
    fc.assert(
      fc.property(fc.nat(0x1a), fc.uint8Array({ maxLength: 30 }), (opcode, rest) => {
        const payload = Uint8Array.of(opcode, ...rest);
        const pdu = decodeControl(payload);
        if (pdu.kind === 'unknown') expect(pdu.opcode).toBe(opcode);
        else expect(encodeControl(pdu)).toEqual(payload);
      }),
      { numRuns: 300 },
    );
    expect(decodeControl(bytes(''))).toEqual({ kind: 'unknown', opcode: 0xff });
  });
});

describe('advertising PDUs', () => {
  // A recorded scan request, as a public test suite of link-layer dissectors prints it: both addresses public.
  it('ask as recorded', () => {
    const from = { type: 0, address: 'aa:aa:aa:aa:aa:aa' };
    const peer = { type: 0, address: 'bb:bb:bb:bb:bb:bb' };
    expect(toHex(encodeAdvertisingPdu('scan-req', from, { peer }))).toBe('030caaaaaaaaaaaabbbbbbbbbbbb');
  });

  // The same source: ADV_IND with flags, appearance, a 16-bit UUID and a name.
  it('advertise as recorded', () => {
    const recorded = '201660d4d3cebffb0201050319420c0303e7fe0409483938';
    const own = { type: 0, address: 'fb:bf:ce:d3:d4:60' };
    const pdu = encodeAdvertisingPdu('adv-ind', own, { data: bytes(recorded.slice(16)), channelSelection2: true });
    expect(toHex(pdu)).toBe(recorded);
  });

  it('request a connection in 34 octets', () => {
    const data = {
      accessAddress: 0x5c9515de,
      crcInit: 0x010203,
      windowSize: 1,
      windowOffset: 5,
      interval: 24,
      latency: 0,
      timeout: 72,
      channelMap: bytes('ffffffff1f'),
      hopAndAccuracy: 0x25,
    };
    const octets = encodeConnectData(data);
    expect(toHex(octets)).toBe('de15955c' + '030201' + '01' + '0500' + '1800' + '0000' + '4800' + 'ffffffff1f' + '25');
    expect(decodeConnectData(octets)).toEqual(data);
    expect(decodeConnectData(octets.subarray(1))).toBeUndefined();
    const own = { type: 1, address: 'c0:00:00:00:00:01' };
    const peer = { type: 0, address: '00:1b:dc:00:00:01' };
    const pdu = encodeAdvertisingPdu('connect-ind', own, { peer, data: octets, channelSelection2: true });
    expect(toHex(pdu.slice(0, 2))).toBe('6522');
  });
});
