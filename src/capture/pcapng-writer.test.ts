import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { concat, fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { us } from '../base/quantity.ts';
import { linkType } from './link-types.ts';
import { PcapngWriter } from './pcapng-writer.ts';

type Packet = {
  readonly interface: number;
  readonly at: number;
  readonly data: Bytes;
  readonly options: ReadonlyMap<number, string>;
};
type File = { readonly blocks: string; readonly linkTypes: readonly number[]; readonly packets: readonly Packet[] };

/** An independent, strict look at a file straight from draft-ietf-opsawg-pcapng sections 3 and 4. */
function read(file: Bytes): File {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const blocks: string[] = [];
  const linkTypes: number[] = [];
  const packets: Packet[] = [];
  let little = true;
  for (let at = 0; at < file.length;) {
    expect(at % 4).toBe(0);
    const type = view.getUint32(at, true) === 0x0a0d0d0a ? 0x0a0d0d0a : view.getUint32(at, little);
    if (type === 0x0a0d0d0a) {
      little = view.getUint32(at + 8, true) === 0x1a2b3c4d;
      expect(view.getUint32(at + 8, little)).toBe(0x1a2b3c4d);
      expect(view.getUint16(at + 12, little)).toBe(1);
      linkTypes.length = 0;
    }
    const length = view.getUint32(at + 4, little);
    expect(length % 4).toBe(0);
    expect(view.getUint32(at + length - 4, little)).toBe(length);
    const end = at + length - 4;
    if (type === 0x0a0d0d0a) blocks.push('SHB');
    else if (type === 1) {
      blocks.push('IDB');
      linkTypes.push(view.getUint16(at + 8, little));
    } else if (type === 6) {
      blocks.push('EPB');
      const captured = view.getUint32(at + 20, little);
      expect(view.getUint32(at + 24, little)).toBeGreaterThanOrEqual(captured);
      const begin = at + 28;
      const behind = begin + captured + ((4 - (captured % 4)) % 4);
      expect([...file.subarray(begin + captured, behind)].every((octet) => octet === 0)).toBe(true);
      packets.push({
        interface: view.getUint32(at + 8, little),
        at: view.getUint32(at + 12, little) * 2 ** 32 + view.getUint32(at + 16, little),
        data: file.slice(begin, begin + captured),
        options: options(view, behind, end, little),
      });
    } else blocks.push('other');
    at += length;
  }
  return { blocks: blocks.join(', '), linkTypes, packets };
}

function options(view: DataView, from: number, end: number, little: boolean): ReadonlyMap<number, string> {
  const found = new Map<number, string>();
  for (let at = from; at < end;) {
    const code = view.getUint16(at, little);
    const length = view.getUint16(at + 2, little);
    if (code === 0) {
      expect([length, at + 4]).toEqual([0, end]);
      break;
    }
    const octets = new Uint8Array(view.buffer, view.byteOffset + at + 4, length);
    found.set(code, code === 1 ? new TextDecoder().decode(octets) : toHex(octets));
    at += 4 + length + ((4 - (length % 4)) % 4);
  }
  return found;
}

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
    const { blocks, linkTypes, packets } = read(file);
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
        const back = read(file).packets.map(({ at, data, options: given }) => ({ at, data, comment: given.get(1) }));
        expect(back).toEqual(list);
      }),
    );
  });
});
