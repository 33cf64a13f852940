import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hex } from '../../../test/support/att-bench.ts';
import { uuid } from '../../../test/support/att-table.ts';
import { arbitraryPdu } from '../../../test/support/arbitrary-pdu.ts';
import { toHex } from '../../base/bytes.ts';
import { opcodes, opcodeEntry } from '../../numbers/att-opcodes.ts';
import { decodePdu } from './decode.ts';
import { encodePdu } from './encode.ts';
import { isRequest, isResponse } from './kind.ts';
import type { AttPdu } from './model.ts';

/** Octets, and what they say. Where no source stands beside a vector it was laid out by hand from Core Vol 3 Part F 3.4. */
const vectors: readonly (readonly [octets: string, pdu: AttPdu])[] = [
  ['01080100 0a', { kind: 'error-response', request: 0x08, handle: 0x0001, code: 0x0a }],
  // Public HCI capture, ACL data 0200 2009 0005 0004 00 and then:
  ['011020000a', { kind: 'error-response', request: 0x10, handle: 0x0020, code: 0x0a }],
  ['02 1700', { kind: 'exchange-mtu-request', mtu: 23 }],
  ['03 0502', { kind: 'exchange-mtu-response', mtu: 517 }],
  ['04 0100 ffff', { kind: 'find-information-request', start: 1, end: 0xffff }],
  [
    '05 01 0900 0229 0a00 0329',
    {
      kind: 'find-information-response',
      entries: [
        { handle: 9, type: uuid('2902') },
        { handle: 10, type: uuid('2903') },
      ],
    },
  ],
  [
    '05 02 1000 d0418e5b0c2f779a3a4c5e0f01001d6b',
    {
      kind: 'find-information-response',
      entries: [{ handle: 16, type: uuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0') }],
    },
  ],
  [
    '06 0100 ffff 0028 0f18',
    { kind: 'find-by-type-value-request', start: 1, end: 0xffff, type: uuid('2800'), value: hex('0f18') },
  ],
  ['07 1400 1600', { kind: 'find-by-type-value-response', found: [{ handle: 0x14, end: 0x16 }] }],
  ['08 0100 0b00 0328', { kind: 'read-by-type-request', start: 1, end: 11, type: uuid('2803') }],
  [
    '08 0100 0b00 d0418e5b0c2f779a3a4c5e0f01001d6b',
    { kind: 'read-by-type-request', start: 1, end: 11, type: uuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0') },
  ],
  [
    // Public capture of a GAP discovery, three characteristic declarations.
    '0907 0200 020300002a 0400 020500012a 0600 020700042a',
    {
      kind: 'read-by-type-response',
      entries: [
        { handle: 2, value: hex('020300002a') },
        { handle: 4, value: hex('020500012a') },
        { handle: 6, value: hex('020700042a') },
      ],
    },
  ],
  ['0a 0300', { kind: 'read-request', handle: 3 }],
  // Public HCI captures: the name `Charger 2`, and the appearance 0x0440.
  ['0b 4368617267652032', { kind: 'read-response', value: hex('4368617267652032') }],
  ['0b 4004', { kind: 'read-response', value: hex('4004') }],
  ['0b', { kind: 'read-response', value: hex('') }],
  ['0c 0300 1600', { kind: 'read-blob-request', handle: 3, offset: 22 }],
  ['0d 6162', { kind: 'read-blob-response', part: hex('6162') }],
  ['0e 0300 0500', { kind: 'read-multiple-request', handles: [3, 5] }],
  ['0f 010203', { kind: 'read-multiple-response', values: hex('010203') }],
  ['10 0100 ffff 0028', { kind: 'read-by-group-type-request', start: 1, end: 0xffff, type: uuid('2800') }],
  [
    // Public HCI capture: 0x0001-0x0004 Generic Attribute, 0x0005-0x000B Generic Access.
    '1106 0100 0400 0118 0500 0b00 0018',
    {
      kind: 'read-by-group-type-response',
      groups: [
        { handle: 1, end: 4, value: hex('0118') },
        { handle: 5, end: 11, value: hex('0018') },
      ],
    },
  ],
  ['12 0900 0100', { kind: 'write-request', handle: 9, value: hex('0100') }],
  ['13', { kind: 'write-response' }],
  ['16 0300 1200 aabb', { kind: 'prepare-write-request', handle: 3, offset: 18, part: hex('aabb') }],
  ['17 0300 1200 aabb', { kind: 'prepare-write-response', handle: 3, offset: 18, part: hex('aabb') }],
  ['18 00', { kind: 'execute-write-request', write: false }],
  ['18 01', { kind: 'execute-write-request', write: true }],
  ['19', { kind: 'execute-write-response' }],
  ['1b 0300 2a', { kind: 'handle-value-notification', handle: 3, value: hex('2a') }],
  ['1d 0800 0100ffff', { kind: 'handle-value-indication', handle: 8, value: hex('0100ffff') }],
  ['1e', { kind: 'handle-value-confirmation' }],
  ['20 0300 0500', { kind: 'read-multiple-variable-request', handles: [3, 5] }],
  [
    '21 0200 0102 0000 0300 aa',
    {
      kind: 'read-multiple-variable-response',
      items: [
        { length: 2, value: hex('0102') },
        { length: 0, value: hex('') },
        { length: 3, value: hex('aa') },
      ],
    },
  ],
  [
    '23 0300 0100 2a 0500 0000',
    {
      kind: 'multiple-handle-value-notification',
      items: [
        { handle: 3, value: hex('2a') },
        { handle: 5, value: hex('') },
      ],
    },
  ],
  ['52 0300 01', { kind: 'write-command', handle: 3, value: hex('01') }],
  [
    'd2 0300 01 0102030405060708090a0b0c',
    { kind: 'signed-write-command', handle: 3, value: hex('01'), signature: hex('0102030405060708090a0b0c') },
  ],
];

describe('PDU codec', () => {
  it.each(vectors)('reads and writes %s', (octets, pdu) => {
    expect(decodePdu(hex(octets))).toEqual(pdu);
    expect(toHex(encodePdu(pdu))).toBe(octets.replaceAll(' ', ''));
  });

  it('knows every opcode that is assigned', () => {
    const seen = new Set(vectors.map(([octets]) => Number.parseInt(octets.slice(0, 2), 16)));
    expect([...seen].sort((a, b) => a - b)).toEqual(opcodes.map(({ code }) => code));
  });

  it('tells requests and responses apart as the assigned numbers do', () => {
    for (const [octets, pdu] of vectors) {
      const kind = opcodeEntry(Number.parseInt(octets.slice(0, 2), 16))?.kind;
      expect([isRequest(pdu), isResponse(pdu)], octets).toEqual([kind === 'request', kind === 'response']);
    }
  });

  it('gives back every PDU that it has written', () => {
    fc.assert(
      fc.property(arbitraryPdu, (pdu) => {
        expect(decodePdu(encodePdu(pdu))).toEqual(pdu);
      }),
      { numRuns: 300 },
    );
  });

  it('takes a 128-bit UUID on the base as the 16-bit one it is', () => {
    expect(decodePdu(hex('08 0100 ffff fb349b5f80000080001000000f180000'))).toMatchObject({ type: '180F' });
  });

  it('writes types of both lengths in the long form', () => {
    const entries = [
      { handle: 9, type: uuid('2902') },
      { handle: 10, type: uuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0') },
    ];
    expect(toHex(encodePdu({ kind: 'find-information-response', entries }))).toBe(
      '0502' + '0900fb349b5f8000008000100000022900000a00d0418e5b0c2f779a3a4c5e0f01001d6b',
    );
  });
});

describe('octets that are no PDU', () => {
  it.each([
    ['', 'empty', 'a PDU of no octets has no opcode'],
    ['7f', 'unknown-opcode', 'opcode 0x7f is not assigned'],
    ['0a01', 'length', 'Read Request of 2 octets: its length must be 3'],
    ['0a010000', 'length', 'Read Request of 4 octets: its length must be 3'],
    ['12 01', 'length', 'Write Request of 2 octets: its length must be 3 or more'],
    ['0e 0100', 'length', 'Read Multiple Request of 3 octets: its length must be 1 + 2 × n, n at least 2'],
    ['0e 0100 02', 'length', 'Read Multiple Request of 4 octets: its length must be 1 + 2 × n, n at least 2'],
    ['08 0100 ffff 002800', 'length', 'Read By Type Request of 8 octets: its length must be 7 or 21'],
    [
      '18 02',
      'content',
      'Execute Write Request of 2 octets: its flags are 0x02, only 0x00 (cancel) and 0x01 (write) are assigned',
    ],
    [
      '05 03 0100 0229',
      'content',
      'Find Information Response of 6 octets: its format is 0x03, only 0x01 and 0x02 are assigned',
    ],
    ['05 01 0100 022900', 'length', 'Find Information Response of 7 octets: its length must be 2 + 4 × n at format 1'],
    ['09 01 0100', 'content', 'Read By Type Response of 4 octets: the length of its entries is 1, at least 2 is due'],
    [
      '09 03 0100 0102',
      'length',
      'Read By Type Response of 6 octets: its length must be 2 + 3 × n for entries of 3 octets',
    ],
    [
      '11 03 0100 0200',
      'content',
      'Read By Group Type Response of 6 octets: the length of its entries is 3, at least 4 is due',
    ],
    ['21 0100 aa 01', 'content', 'Read Multiple Variable Response of 5 octets: its last length is cut'],
    [
      '23 0300 0100 2a 0500 0900',
      'content',
      'Multiple Handle Value Notification of 10 octets: its value 2 ends behind the PDU',
    ],
    [
      '23 0300 0500 0102030405',
      'content',
      'Multiple Handle Value Notification of 10 octets: it holds one value, at least two are due',
    ],
    ['d2 0300 01', 'length', 'Signed Write Command of 4 octets: its length must be 15 or more'],
  ])('%s: %s', (octets, reason, why) => {
    expect(decodePdu(hex(octets))).toMatchObject({ kind: 'malformed', reason, why });
  });

  it('never make the decoder throw', () => {
    const opcode = fc.constantFrom(...opcodes.map(({ code }) => code));
    const octets = fc.oneof(
      fc.uint8Array({ maxLength: 40 }),
      fc.tuple(opcode, fc.uint8Array({ maxLength: 40 })).map(([code, rest]) => Uint8Array.of(code, ...rest)),
    );
    fc.assert(
      fc.property(octets, (bytes) => {
        const pdu = decodePdu(bytes);
        if (pdu.kind === 'malformed') expect(pdu.opcode).toBe(bytes[0]);
        else expect(opcodeEntry(bytes[0] ?? -1)).toBeDefined();
      }),
      { numRuns: 1000 },
    );
  });
});
