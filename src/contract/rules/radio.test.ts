import { describe, expect, it } from 'vitest';
import { codes, lints } from '../../../test/support/lints.ts';
import { board, plain, radio } from './sample.ts';

/** Errors only. */
const errors = (lines: string): readonly string[] =>
  lints(radio(lines))
    .filter(({ severity }) => severity === 'error')
    .map(({ code }) => code);

describe('connection parameters', () => {
  // Arithmetic on the ranges of Core Vol 6 Part B 4.5.1 and 4.5.2: timeout > (1 + latency) x interval x 2.
  it.each([
    ['7.5 ms', 0, '100 ms'],
    ['30 ms', 0, '420 ms'],
    ['50 ms', 4, '510 ms'],
    ['4 s', 0, '32 s'],
  ])('interval %s, latency %d, timeout %s stands', (interval, latency, timeout) => {
    expect(errors(`connection: { interval: ${interval}, latency: ${latency}, timeout: ${timeout} }`)).toEqual([]);
  });

  it.each([
    ['50 ms', 4, '500 ms', 'supervision-too-short'],
    ['4 s', 3, '32 s', 'supervision-too-short'],
    ['7 ms', 0, '100 ms', 'out-of-bounds'],
    ['10.5 ms', 0, '4 s', 'not-in-steps'],
    ['7.5 ms', 500, '32 s', 'out-of-bounds'],
  ])('interval %s, latency %d, timeout %s does not: %s', (interval, latency, timeout, code) => {
    expect(errors(`connection: { interval: ${interval}, latency: ${latency}, timeout: ${timeout} }`)).toEqual([code]);
  });

  it('takes the longest interval that the contract allows', () => {
    expect(errors('connection: { interval: [20 ms, 400 ms], timeout: 800 ms }')).toEqual(['supervision-too-short']);
    expect(errors('connection: { interval: [20 ms, 400 ms], timeout: 810 ms }')).toEqual([]);
  });

  it('has no timeout to offer where none is long enough', () => {
    const found = lints(radio('connection: { interval: 4 s, latency: 3, timeout: 32 s }'))[0];
    expect(found).toMatchObject({ code: 'outside-phone-guidelines' });
    expect(lints(radio('connection: { interval: 4 s, latency: 3, timeout: 32 s }')).map(({ hint }) => hint)).toContain(
      'lower the latency or the interval: the timeout may be at most 32 s',
    );
  });

  it.each([
    ['interval: 15 ms', []],
    ['interval: 13.75 ms', ['outside-phone-guidelines']],
    ['timeout: 2 s', []],
    ['timeout: 1990 ms', ['outside-phone-guidelines']],
    ['timeout: 6010 ms', ['outside-phone-guidelines']],
    ['interval: 200 ms, latency: 9, timeout: 6 s', []],
    ['interval: 200 ms, latency: 10, timeout: 6 s', ['outside-phone-guidelines']],
    ['mtu: 247', []],
    ['mtu: 248', ['mtu-beyond-packet']],
    ['phy: 2M', []],
    ['phy: coded-s2', ['phy-rarely-supported']],
  ])('%s', (lines, expected) => {
    expect(codes(radio(`connection: { ${lines} }`))).toEqual(expected);
  });
});

describe('advertising', () => {
  it.each([
    ['advertise: { interval: 10.24 s }', ['advertising-slow']],
    ['advertise: { interval: 10240.625 ms }', ['advertising-beyond-legacy', 'advertising-slow']],
    ['advertise: { interval: 2 s }', []],
    ['advertise: { interval: 20 ms }', []],
    ['advertise: { name: none }', ['name-not-advertised']],
    ['advertise: { manufacturer-data: { company: 0x0059, data: "01" } }', []],
  ])('%s', (lines, expected) => {
    expect(codes(radio(lines))).toEqual(expected);
  });

  it('minds charge only where the board tells a battery level', () => {
    const withBattery = (text: string) => text.replace('services:', 'use: [battery]\nservices:');
    expect(codes(withBattery(radio('advertise: { interval: 20 ms }')))).toEqual(['advertising-fast-on-battery']);
    expect(codes(withBattery(radio('advertise: { interval: 100 ms }')))).toEqual([]);
  });
});

describe('names', () => {
  it.each([
    ['name: Bench {unit}\nunit: "01"', []],
    ['name: Bench', ['name-without-unit']],
    ['name: Bench\nunit: ""', ['name-without-unit']],
    ['name: Bench\nunit: "7"', ['unit-not-shown']],
    ['name: Bench {unit}\nunit: ""', ['unit-not-filled']],
    ['name: Bench {unit}\nunit: "1"\nappearance: 0x0543', []],
    ['name: Bench {unit}\nunit: "1"\nappearance: 0xFFC0', ['appearance-not-assigned']],
  ])('%s', (lines, expected) => {
    expect(codes(board(lines))).toEqual(expected);
  });

  it('have no word about a plain contract', () => {
    expect(lints(plain)).toEqual([]);
  });
});
