import { describe, expect, it } from 'vitest';
import { concat, toHex, u16le } from '../base/bytes.ts';
import { parseUuid } from '../base/uuid.ts';
import * as wire from './wire.ts';

const own = parseUuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0')!;
const short = parseUuid('2803')!;

describe('PDUs as octets', () => {
  // Opcode, handle, parameters in the order of Core Vol 3 Part F 3.4, multi-octet fields least significant octet first.
  it.each([
    ['Exchange MTU', wire.mtuRequest(185), '02b900'],
    ['Find Information', wire.findInformation(1, 0xffff), '040100ffff'],
    ['Find By Type Value', wire.findByTypeValue(1, 0xffff, 0x2800, Uint8Array.of(0x0f, 0x18)), '060100ffff00280f18'],
    ['Read By Type', wire.readByType(1, 9, short), '08010009000328'],
    ['Read By Type, 128 bit', wire.readByType(1, 9, own), '0801000900d0418e5b0c2f779a3a4c5e0f01001d6b'],
    ['Read By Group Type', wire.readByGroupType(0x10, 0xffff, short), '101000ffff0328'],
    ['Read', wire.readRequest(0x0102), '0a0201'],
    ['Read Blob', wire.readBlob(3, 22), '0c03001600'],
    ['Read Multiple', wire.readMultiple([3, 5]), '0e03000500'],
    ['Read Multiple Variable', wire.readMultipleVariable([3, 5]), '2003000500'],
    ['Write', wire.writeRequest(3, Uint8Array.of(1)), '12030001'],
    ['Write Command', wire.writeCommand(3, Uint8Array.of(1)), '52030001'],
    ['Prepare Write', wire.prepareWrite(3, 18, Uint8Array.of(7)), '160300120007'],
    ['Execute Write', wire.executeWrite(true), '1801'],
    ['Execute Write, cancel', wire.executeWrite(false), '1800'],
    ['Confirmation', wire.confirmation, '1e'],
    ['Error Response', wire.errorResponse(0x0a, 3, 0x02), '010a030002'],
  ])('%s', (_, pdu, hex) => {
    expect(toHex(pdu)).toBe(hex);
  });

  it('errors are taken apart, and nothing else is', () => {
    expect(wire.parseError(wire.errorResponse(0x12, 0x1234, 0xff))).toEqual({
      request: 0x12,
      handle: 0x1234,
      code: 0xff,
    });
    expect(wire.parseError(Uint8Array.of(1, 2, 3, 4))).toBeUndefined();
    expect(wire.parseError(Uint8Array.of(0x0b, 2, 3, 4, 5))).toBeUndefined();
  });

  it('lists are cut into entries, and refused when they do not add up', () => {
    const entry = concat(u16le(1), u16le(2));
    expect(wire.parseEntries(concat([9, 4], entry, entry))).toEqual([entry, entry]);
    expect(wire.parseEntries(concat([9, 4], entry, [1]))).toBeUndefined();
    expect(wire.parseEntries(Uint8Array.of(9, 4))).toBeUndefined();
    expect(wire.parseEntries(Uint8Array.of(9, 0, 1))).toBeUndefined();
  });
});
