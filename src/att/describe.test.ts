import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryPdu } from '../../test/support/arbitrary-pdu.ts';
import { hex } from '../../test/support/att-bench.ts';
import { labTable } from '../../test/support/att-table.ts';
import { describeHandle, describePdu } from './describe.ts';
import { encodePdu } from './pdu.ts';

describe('a PDU in words', () => {
  it.each([
    ['01 0a 1000 02', 'Error Response: Read Request at 0x0010: Read Not Permitted (0x02)'],
    ['01 02 0000 06', 'Error Response: Exchange MTU Request: Request Not Supported (0x06)'],
    ['01 12 1000 80', 'Error Response: Write Request at 0x0010: application error 0x80'],
    ['02 1700', 'Exchange MTU Request: client receives 23 octets'],
    ['03 0502', 'Exchange MTU Response: server receives 517 octets'],
    ['04 0100 ffff', 'Find Information Request: 0x0001 to 0xFFFF'],
    [
      '05 01 0900 0229 0a00 0328',
      'Find Information Response: 0x0009 Client Characteristic Configuration; 0x000A Characteristic',
    ],
    ['06 0100 ffff 0028 0f18', 'Find By Type Value Request: Primary Service = Battery in 0x0001 to 0xFFFF'],
    ['07 1400 1600', 'Find By Type Value Response: 0x0014 to 0x0016'],
    ['08 0100 0b00 0328', 'Read By Type Request: Characteristic in 0x0001 to 0x000B'],
    [
      '0907 0200 0a0300002a 0400 020500012a',
      'Read By Type Response: 0x0002 read, write, value at 0x0003, Device Name; 0x0004 read, value at 0x0005, Appearance',
    ],
    ['0907 0200 0102030405', 'Read By Type Response: 0x0002 01 02 03 04 05'],
    ['0a 0300', 'Read Request: 0x0003'],
    ['0b 4004', 'Read Response: 40 04'],
    ['0b', 'Read Response: no octets'],
    ['0c 0300 1600', 'Read Blob Request: 0x0003 from octet 22'],
    ['0d 61', 'Read Blob Response: 61'],
    ['0e 0300 0500', 'Read Multiple Request: 0x0003; 0x0005'],
    ['10 0100 ffff 0028', 'Read By Group Type Request: Primary Service in 0x0001 to 0xFFFF'],
    ['1106 0100 0400 0118 0500 0b00 0018', 'Read By Group Type Response: 0x0001 to 0x0004 GATT; 0x0005 to 0x000B GAP'],
    ['12 0900 0100', 'Write Request: 0x0009 01 00'],
    ['13', 'Write Response'],
    ['16 0300 1200 aabb', 'Prepare Write Request: 0x0003 from octet 18: aa bb'],
    ['18 00', 'Execute Write Request: cancel'],
    ['18 01', 'Execute Write Request: write'],
    ['1b 0300 2a', 'Handle Value Notification: 0x0003 2a'],
    ['1e', 'Handle Value Confirmation'],
    ['21 0100 2a 0300 61', 'Read Multiple Variable Response: 2a; 61 (cut, 3 octets in all)'],
    ['23 0300 0100 2a 0500 0000', 'Multiple Handle Value Notification: 0x0003 2a; 0x0005 no octets'],
    [
      'd2 0300 01 0102030405060708090a0b0c',
      'Signed Write Command: 0x0003 01, signature 01 02 03 04 05 06 07 08 09 0a 0b 0c',
    ],
    ['', 'a PDU of no octets has no opcode'],
    ['0a03', 'malformed PDU 0a 03: Read Request of 2 octets: its length must be 3'],
  ])('%s', (octets, words) => {
    expect(describePdu(hex(octets))).toBe(words);
  });

  it.each([
    ['1b 1000 2a', undefined, 'Handle Value Notification: 0x0010 (level: value) 2a = 42'],
    ['12 1000 65', undefined, 'Write Request: 0x0010 (level: value) 65 = 101'],
    ['12 1100 0100', undefined, 'Write Request: 0x0011 (level: CCCD) 01 00 = notify'],
    ['0b 3412', '0a 1800', 'Read Response: 0x0018 (alarm: value) 34 12 = 4660'],
    ['0d 1617', '0c 1600 1600', 'Read Blob Response: 0x0016 (block: value) from octet 22: 16 17'],
    ['0b 0100ffff', '0a 9900', 'Read Response: 0x0099 01 00 ff ff'],
    [
      '01 0a 1b00 05',
      '0a 1b00',
      'Error Response: Read Request at 0x001B (secret: value): Insufficient Authentication (0x05)',
    ],
    [
      '21 0100 2a 0200 6869',
      '20 1000 1300',
      'Read Multiple Variable Response: 0x0010 (level: value) 2a = 42; 0x0013 (note: value) 68 69 = "hi"',
    ],
    ['0b 0018', '0a 0100', 'Read Response: 0x0001 (1800: service) GAP'],
    ['0906 0f00 14001600', '08 0100 ffff 0228', 'Read By Type Response: 0x000F includes 0x0014 to 0x0016'],
    ['0908 0f00 140016000f18', '08 0100 ffff 0228', 'Read By Type Response: 0x000F includes 0x0014 to 0x0016 Battery'],
  ])('with a table: %s', (octets, request, words) => {
    expect(describePdu(hex(octets), labTable(), request === undefined ? undefined : hex(request))).toBe(words);
  });

  it('names a handle', () => {
    expect([describeHandle(0x10), describeHandle(0x10, labTable()), describeHandle(0x99, labTable())]).toEqual([
      '0x0010',
      '0x0010 (level: value)',
      '0x0099',
    ]);
  });

  it('is one line for any octets', () => {
    const table = labTable();
    fc.assert(
      fc.property(
        fc.oneof(arbitraryPdu.map(encodePdu), fc.uint8Array({ maxLength: 30 })),
        fc.option(arbitraryPdu.map(encodePdu), { nil: undefined }),
        (octets, request) => {
          const words = describePdu(octets, table, request);
          expect(words.length).toBeGreaterThan(0);
          expect(words).not.toContain('\n');
        },
      ),
      { numRuns: 300 },
    );
  });
});
