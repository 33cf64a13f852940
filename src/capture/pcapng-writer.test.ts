import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { concat, fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { us } from '../base/quantity.ts';
import { linkType } from './link-types.ts';
import { PcapngWriter } from './pcapng-writer.ts';
import { readCapture } from '../../test/support/read-capture.ts';

function written(write: (writer: PcapngWriter) => void, comment?: string): Bytes {
  const parts: Bytes[] = [];
  write(new PcapngWriter((octets) => parts.push(octets), 'Gattwright 1', comment));
  return concat(...parts);
}

describe('a capture file', () => {
  it('begins with a section, whose octets are those of the draft', () => {
    const file = written(() => undefined);
    expect(toHex(file, ' ')).toBe(
      '0a 0d 0d 0a 30 00 00 00 4d 3c 2b 1a 01 00 00 00 ff ff ff ff ff ff ff ff ' +
        '04 00 0c 00 47 61 74 74 77 72 69 67 68 74 20 31 00 00 00 00 30 00 00 00',
    );
  });

  it('keeps packets with interface, time, direction and comment', () => {
    const file = written((writer) => {
      const host = writer.addInterface(linkType.hciH4WithDirection, 'hci0', 'the board');
      host.packet(us(5_000_000_000), fromHex('00000000 01 03 0c 00')!, { direction: 'outbound', comment: 'Übung' });
      const air = writer.addInterface(linkType.leLinkLayerWithHeader, 'air', 'all that is sent');
      air.packet(us(5_000_000_001), fromHex('aa bb cc')!);
      host.packet(us(5_000_000_002), fromHex('00000001 04')!, { direction: 'inbound' });
    });
    const { blocks, linkTypes, packets } = readCapture(file);
    expect(blocks).toBe('SHB, IDB, EPB, IDB, EPB, EPB');
    expect(linkTypes).toEqual([201, 256]);
    expect(packets.map((one) => [one.interface, one.at, toHex(one.data), Object.fromEntries(one.options)])).toEqual([
      [0, 5_000_000_000, '0000000001030c00', { 1: 'Übung', 2: '02000000' }],
      [1, 5_000_000_001, 'aabbcc', {}],
      [0, 5_000_000_002, '0000000104', { 2: '01000000' }],
    ]);
  });

  it('comes back whole whatever it holds', () => {
    const packet = fc.record({
      at: fc.integer({ min: 0, max: 2 ** 52 }),
      data: fc.uint8Array({ maxLength: 300 }),
      comment: fc.option(fc.string({ unit: 'grapheme', minLength: 1 }), { nil: undefined }),
    });
    fc.assert(
      fc.property(fc.array(packet), fc.string({ unit: 'grapheme', minLength: 1 }), (list, about) => {
        const file = written((writer) => {
          const one = writer.addInterface(linkType.leLinkLayerWithHeader, 'air', '');
          for (const { at, data, comment } of list) one.packet(us(at), data, { comment });
        }, about);
        const back = readCapture(file).packets.map(({ at, data, options: given }) => ({
          at,
          data,
          comment: given.get(1),
        }));
        expect(back).toEqual(list);
      }),
    );
  });
});
