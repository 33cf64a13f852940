import { describe, expect, it } from 'vitest';
import { concat, fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { VirtualClock } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import { portPair } from '../hci/port-pair.ts';
import { readCapture } from '../../test/support/read-capture.ts';
import { H4Recorder } from './h4-recorder.ts';
import { PcapngWriter } from './pcapng-writer.ts';

describe('a recorded H4 stream', () => {
  it('has each packet whole, with its direction and time, and changes nothing on its way', () => {
    const clock = new VirtualClock();
    const parts: Bytes[] = [];
    const { host, controller } = portPair(clock, us(10));
    const tapped = new H4Recorder(new PcapngWriter((part) => parts.push(part), 'test'), clock, 'board').tap(host);
    const arrived: string[] = [];
    controller.onOctets((octets) => arrived.push(`host ${toHex(octets)}`));
    tapped.onOctets((octets) => arrived.push(`controller ${toHex(octets)}`));
    tapped.send(fromHex('01 03')!);
    clock.advance(us(1000));
    tapped.send(fromHex('0c 00 01 03 10 00')!);
    controller.send(fromHex('04 0e 04 01 03 0c 00')!);
    clock.advance(us(1000));
    expect(arrived).toEqual(['host 0103', 'host 0c0001031000', 'controller 040e0401030c00']);
    const { linkTypes, packets } = readCapture(concat(...parts));
    expect(linkTypes).toEqual([201]);
    expect(packets.map(({ at, data, options }) => [at, toHex(data), options.get(2)])).toEqual([
      [1000, '0000000001030c00', '02000000'],
      [1000, '0000000001031000', '02000000'],
      [1010, '00000001040e0401030c00', '01000000'],
    ]);
  });
});
