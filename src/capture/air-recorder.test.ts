import { describe, expect, it } from 'vitest';
import { concat, fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { us } from '../base/quantity.ts';
import type { AirPacket } from '../radio/air-packet.ts';
import { readCapture } from '../../test/support/read-capture.ts';
import { AirRecorder, airOctets } from './air-recorder.ts';
import { PcapngWriter } from './pcapng-writer.ts';

/** CRC of these octets from the initial value 0x555555: facts of Core Vol 6 Part B 3.1.1, seen in public test suites. */
const advertising: AirPacket = {
  at: us(1234),
  duration: us(128),
  channel: 37,
  phy: '1M',
  accessAddress: 0x8e89bed6,
  pdu: fromHex('00 06 00 00 00 00 00 00')!,
  crcInit: 0x555555,
  crcOk: true,
  rssi: -60,
  from: 'board',
};

describe('a recorded packet', () => {
  it('of an advertiser has channel, signal, flags, access address, PDU and CRC', () => {
    expect(toHex(airOctets(advertising), ' ')).toBe(
      '00 c4 00 00 d6 be 89 8e 13 0c d6 be 89 8e 00 06 00 00 00 00 00 00 5a 39 60',
    );
  });

  it('that did not arrive whole has a CRC that is wrong, and says so', () => {
    expect(toHex(airOctets({ ...advertising, crcOk: false }), ' ')).toBe(
      '00 c4 00 00 d6 be 89 8e 13 04 d6 be 89 8e 00 06 00 00 00 00 00 00 a5 c6 9f',
    );
  });

  it.each([
    ['1M', 'central-to-peripheral', '130d', ''],
    ['2M', 'peripheral-to-central', '934d', ''],
    ['coded-s8', 'central-to-peripheral', '138d', '00'],
    ['coded-s2', 'peripheral-to-central', '938d', '01'],
  ] as const)(
    'of a connection on %s, %s, has its direction, its PHY and its coding',
    (phy, direction, flags, coding) => {
      const link = { direction, event: 1, encrypted: false };
      const octets = airOctets({ ...advertising, phy, link, channel: 10, accessAddress: 0x12345678 });
      expect(toHex(octets.subarray(0, 10))).toBe(`0bc4000078563412${flags}`);
      expect(toHex(octets.subarray(10, -11))).toBe(`78563412${coding}`);
    },
  );

  it.each([
    [0, 1],
    [10, 11],
    [11, 13],
    [36, 38],
    [37, 0],
    [38, 12],
    [39, 39],
  ])('on channel index %i is on radio channel %i', (index, channel) => {
    // Core Vol 6 Part B 1.4.1, table 1.2.
    expect(airOctets({ ...advertising, channel: index })[0]).toBe(channel);
  });

  it('stands in the file at the time it was sent, with who sent it', () => {
    const parts: Bytes[] = [];
    const recorder = new AirRecorder(new PcapngWriter((part) => parts.push(part), 'test'));
    recorder.take(advertising);
    const { linkTypes, packets } = readCapture(concat(...parts));
    expect(linkTypes).toEqual([256]);
    expect(packets.map(({ at, data, options }) => [at, data.length, options.get(1)])).toEqual([
      [1234, 25, 'from board'],
    ]);
  });
});
