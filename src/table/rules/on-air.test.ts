import { describe, expect, it } from 'vitest';
import { radio } from '../../contract/rules/sample.ts';
import { check } from '../check.ts';

const codes = (connection: string, lines: string): readonly string[] =>
  check(radio(`connection: { ${connection} }`, `id: x\nlabel: X\n${lines}`)).findings.map(({ code }) => code);

const text = (length: string, access: string): string =>
  `type: utf8\nlength: ${length}\naccess: ${access}\n${access.includes('notify') ? 'notify: { on: change, at-most: 1 Hz }' : ''}`;
const array = (count: string, access: string): string =>
  `type: { array: uint8, count: ${count} }\naccess: ${access}\n${access.includes('notify') ? 'notify: { on: every 1 s }' : ''}`;

/** Room at MTU 23: 20 octets in a notification or write, 22 in a read. Core Vol 3 Part F 3.4, recomputed. */
describe('values at the limits of a PDU', () => {
  it.each([
    ['mtu: 23', text('[0, 20]', '[read, notify]'), []],
    ['mtu: 23', text('[0, 21]', '[read, notify]'), ['notification-cut']],
    ['mtu: 24', text('[0, 21]', '[read, notify]'), ['notification-cut-at-default']],
    ['mtu: 23', array('21', '[read, notify]'), ['notification-never-fits']],
    ['mtu: 23', array('[20, 21]', '[read, notify]'), ['notification-cut']],
    ['mtu: 24', array('21', '[read, notify]'), ['notification-cut-at-default']],
    ['mtu: 23', text('[0, 22]', '[read]'), []],
    ['mtu: 23', text('[0, 23]', '[read]'), ['long-read']],
    ['mtu: 24', text('[0, 23]', '[read]'), []],
    ['mtu: 23', text('[0, 20]', '[write]'), []],
    ['mtu: 23', text('[0, 21]', '[write]'), ['long-write']],
    ['mtu: 23', text('[0, 20]', '[write-without-response]'), []],
    ['mtu: 23', text('[0, 21]', '[write-without-response]'), ['write-command-too-long']],
    ['mtu: 23', text('[0, 21]', '[write, write-without-response]'), ['long-write']],
    ['mtu: 517', text('512', '[write]'), ['mtu-beyond-packet']],
    ['mtu: 23', 'type: { array: uint64, count: 64 }\naccess: [read]', ['long-read']],
    ['mtu: 23', 'type: { array: uint64, count: 65 }\naccess: [read]', ['value-too-long']],
    [
      'mtu: 23',
      'type: { array: uint64, count: 65 }\naccess: [read, notify]\nnotify: { on: every 1 s }',
      ['value-too-long'],
    ],
  ])('%s: %j', (connection, lines, expected) => {
    expect(codes(connection, lines)).toEqual(expected);
  });
});

describe('rates', () => {
  const stream = (period: string, count: number): string =>
    `type: { array: uint8, count: ${count} }\naccess: [read, notify]\nnotify: { on: every ${period} }`;
  const only = (connection: string, lines: string): readonly string[] =>
    codes(connection, lines).filter((code) => code.startsWith('rate') || code === 'value-in-pieces');

  // One packet of 27 octets and its answer take 676 us on 1M: 1479 a second and no more.
  it('ends where the air does', () => {
    expect(only('interval: 7.5 ms', stream('677 us', 20))).not.toContain('rate-beyond-air');
    expect(only('interval: 7.5 ms', stream('675 us', 20))).toEqual(['rate-beyond-air']);
  });

  it('counts the message integrity check of an encrypted value', () => {
    expect(only('interval: 7.5 ms', `${stream('677 us', 20)}\nneeds: encrypted`)).toEqual(['rate-beyond-air']);
  });

  it('takes four packets an interval for what phones carry', () => {
    expect(only('interval: 40 ms', stream('10 ms', 20))).toEqual([]);
    expect(only('interval: 40 ms', stream('9 ms', 20))).toEqual(['rate-beyond-phones']);
  });

  it('counts all values together and blames the heaviest', () => {
    const two = radio('connection: { interval: 40 ms }', `id: a\nlabel: A\n${stream('20 ms', 2)}`).replace(
      '      - id: a',
      `      - { id: b, label: B, type: { array: uint8, count: 20 }, access: [read, notify], notify: { on: every 15 ms } }\n      - id: a`,
    );
    const found = check(two).findings.find(({ code }) => code === 'rate-beyond-phones');
    expect(found?.message).toContain('`b` alone needs 2.7');
    expect(found?.related.map(({ message }) => message)).toEqual(['`a` adds 2 packets']);
  });

  it('wants long packets for what is fast', () => {
    expect(only('interval: 15 ms, mtu: 64', stream('100 ms', 21))).toEqual(['value-in-pieces']);
    expect(only('interval: 15 ms, mtu: 64', stream('101 ms', 21))).toEqual([]);
    expect(only('interval: 15 ms, mtu: 64, data-length: 28', stream('100 ms', 21))).toEqual([]);
  });

  it('knows no rate of a value without a bound', () => {
    expect(only('interval: 15 ms', 'type: uint8\naccess: [read, notify]')).toEqual([]);
  });
});

describe('advertising data', () => {
  const named = (name: string, advertise = 'interval: 100 ms'): readonly string[] =>
    check(
      radio(`advertise: { ${advertise} }`)
        .replace('name: Bench {unit}', `name: "${name}"`)
        .replace('unit: "01"', 'unit: "1"'),
    ).findings.map(({ code }) => code);

  // 31 octets less 3 of flags and 18 of a 128-bit UUID leave 10, 8 of them for the name.
  it('has room for a name of 8 octets beside a 128-bit UUID', () => {
    expect(named('Benches{unit}')).toEqual([]);
    expect(named('Benches {unit}')).toEqual(['only-in-scan-response']);
    expect(named('Bänche {unit}')).toEqual(['only-in-scan-response']);
  });

  it('speaks of a name that is placed in the scan response', () => {
    expect(named('Bench {unit}', 'name: scan-response')).toEqual(['only-in-scan-response']);
  });

  it('tells what is cut from both', () => {
    expect(named('Bench in the hall of the old mill {unit}')).toEqual(['not-advertised']);
    expect(
      named(
        'Bench {unit}',
        'manufacturer-data: { company: 0x0059, data: "000102030405060708090a0b0c0d0e0f101112131415161718191a" }, tx-power: 4',
      ),
    ).toEqual(['not-advertised']);
  });

  it('keeps quiet about an appearance in the scan response', () => {
    const text = radio('advertise: { interval: 100 ms }').replace('unit: "01"', 'unit: "01"\n  appearance: 0x0540');
    const { value, findings } = check(text);
    expect(findings).toEqual([]);
    expect(value?.table.advertising.cut.map(({ what }) => what)).toEqual(['appearance']);
  });
});
