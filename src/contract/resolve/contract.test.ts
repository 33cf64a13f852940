import { describe, expect, it } from 'vitest';
import { contractWith } from '../../../test/support/contract-text.ts';
import { expectFindings } from '../../../test/support/findings.ts';
import type { Contract } from '../model.ts';
import { parseContract } from '../parse.ts';

function read(text: string): Contract {
  const { value, findings } = parseContract(text);
  expect(findings).toEqual([]);
  return value!;
}

describe('board', () => {
  it('fills {unit} wherever it stands', () => {
    const { board } = read('contract: 1\nboard: { name: "{unit}: Tank {unit}", unit: "07" }\n');
    expect(board).toMatchObject({ name: '07: Tank 07', nameTemplate: '{unit}: Tank {unit}', unit: '07' });
    expect(read('contract: 1\nboard: { name: "Tank {unit}" }\n').board.name).toBe('Tank ');
  });

  it('has a name that fits with its unit filled in', () => {
    expectFindings('contract: 1\nboard: { name: "{unit}" }\n', ['2:16 text-length']);
    const long = 'x'.repeat(247);
    expectFindings(`contract: 1\nboard: { name: "${long}{unit}", unit: "1" }\n`, ['2:16 text-length']);
    expectFindings(`contract: 1\nboard: { name: "${'x'.repeat(242)}{unit}", unit: "123456" }\n`, []);
    expectFindings(`contract: 1\nboard: { name: "${'x'.repeat(242)}{unit}", unit: "1234567" }\n`, ['2:16 text-length']);
  });
});

describe('radio', () => {
  it('has all its defaults, and places that stand in for what is not there', () => {
    const contract = read(contractWith('services: [{ id: a, characteristics: [] }]\n'));
    expect(contract.radio).toMatchObject({
      advertise: {
        interval: { min: 100_000, max: 100_000 },
        name: 'auto',
        services: ['a'],
        txPower: undefined,
        manufacturerData: undefined,
      },
      connection: {
        interval: { min: 30_000, max: 30_000 },
        latency: 0,
        timeout: 4_000_000,
        mtu: 23,
        phy: '1M',
        dataLength: 27,
      },
      waivers: [],
      where: { self: contract.where.self },
    });
  });

  it('takes what is given', () => {
    const { radio } = read(
      contractWith(`use: [battery]
radio:
  advertise: { interval: [100 ms, 150 ms], name: scan-response, services: [battery], tx-power: -8, manufacturer-data: { company: 0xFFFF, data: 01a0 } }
  connection: { interval: [20 ms, 40 ms], latency: 4, timeout: 6 s, mtu: 247, phy: coded-s8, data-length: 251 }
`),
    );
    expect(radio).toMatchObject({
      advertise: {
        interval: { min: 100_000, max: 150_000 },
        name: 'scan-response',
        services: ['battery'],
        txPower: -8,
        manufacturerData: { company: 0xffff, data: Uint8Array.of(1, 0xa0) },
      },
      connection: {
        interval: { min: 20_000, max: 40_000 },
        latency: 4,
        timeout: 6_000_000,
        mtu: 247,
        phy: 'coded-s8',
        dataLength: 251,
      },
    });
  });

  it('advertises a used service when there is no other, and none when there is none', () => {
    expect(read('contract: 1\nboard: { name: a }\nuse: [battery]\n').radio.advertise.services).toEqual(['battery']);
    expect(read('contract: 1\nboard: { name: a }\n').radio.advertise.services).toEqual([]);
    expect(
      read('contract: 1\nboard: { name: a }\nuse: [battery]\nradio: { advertise: { services: [] } }\n').radio.advertise
        .services,
    ).toEqual([]);
  });

  // Bounds and steps: Core Vol 4 Part E 7.8.5, Vol 6 Part B 4.5.1 and 4.5.2.
  it.each([
    ['advertise: { interval: 20 ms }', []],
    ['advertise: { interval: 19.375 ms }', ['out-of-bounds']],
    ['advertise: { interval: 20.5 ms }', ['not-in-steps']],
    ['connection: { interval: 7.5 ms }', []],
    ['connection: { interval: 6.25 ms }', ['out-of-bounds']],
    ['connection: { interval: 4 s }', []],
    ['connection: { interval: [15 ms, 16 ms] }', ['not-in-steps']],
    ['connection: { latency: 499 }', []],
    ['connection: { latency: 500 }', ['out-of-bounds']],
    ['connection: { timeout: 32 s }', []],
    ['connection: { timeout: 90 ms }', ['out-of-bounds']],
    ['connection: { timeout: 105 ms }', ['not-in-steps']],
    ['connection: { mtu: 22 }', ['out-of-bounds']],
    ['connection: { mtu: 517 }', []],
    ['connection: { data-length: 252 }', ['out-of-bounds']],
  ])('%s: %j', (line, expected) => {
    const { findings } = parseContract(`contract: 1\nboard: { name: a }\nradio: { ${line} }\n`);
    expect(findings.map(({ code }) => code)).toEqual(expected);
  });
});

describe('services', () => {
  it('keep what they say', () => {
    const [a, b] = read(
      contractWith(`services:
  - id: a
    secondary: true
    handles: { from: 0x0040, reserve: 16 }
    characteristics: []
  - { id: water-works, includes: [a], characteristics: [], waive: [{ finding: service-empty, because: later }] }
`),
    ).services;
    expect(a).toMatchObject({ secondary: true, handles: { from: 0x40, reserve: 16 }, label: 'A' });
    expect(b).toMatchObject({ label: 'Water works', includes: ['a'], waivers: [{ finding: 'service-empty' }] });
  });

  it.each([
    ['handles: { from: 0 }', 'out-of-bounds'],
    ['handles: { from: 0x10000 }', 'out-of-bounds'],
    ['handles: 64', 'wrong-kind'],
    ['includes: [b, b]', 'repeated-entry'],
    ['secondary: yes', 'wrong-kind'],
    ['caracteristics: []', 'unknown-key'],
  ])('refuse %s', (line, code) => {
    const { findings } = parseContract(
      contractWith(`services:\n  - id: a\n    ${line}\n    characteristics: []\n  - id: b\n    characteristics: []\n`),
    );
    expect(findings.map((finding) => finding.code)).toEqual([code]);
  });
});
