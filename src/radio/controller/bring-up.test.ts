import { describe, expect, it } from 'vitest';
import { fromHex, toHex, type Bytes } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import { RadioBench, addressOf } from '../../../test/support/radio-bench.ts';

const bytes = (text: string): Bytes => fromHex(text)!;

/** Sends a packet and gives what comes back at once, each packet in hex. */
function ask(bench: RadioBench, text: string): readonly string[] {
  const host = bench.central;
  const before = host.log.length;
  host.raw(bytes(text));
  return host.log.slice(before).map((line) => line.split(' ')[1]!);
}

// What an operating system's host asks of an LE controller over H4 while it attaches, as recorded from one, in its order.
// Layouts: Core Vol 4 Part E 7.3, 7.4, 7.8. Company 0xFFFF, version 5.3 (0x0C) and sizes are this controller's own.
const bringUp: readonly (readonly [name: string, command: string, answer: string])[] = [
  ['Reset', '01030c00', '040e0401030c00'],
  ['Read Local Supported Features', '01031000', '040e0c0103100000000000' + '60000000'],
  ['Read Local Version', '01011000', '040e0c01011000' + '0c0000' + '0c' + 'ffff' + '0000'],
  ['Read BD_ADDR', '01091000', '040e0a01091000' + '000000dc1b00'],
  ['LE Read Local Supported Features', '01032000', '040e0c01032000' + '2f49000000000000'],
  ['LE Read Buffer Size', '01022000', '040e0701022000' + 'fb0008'],
  ['LE Read Supported States', '011c2000', '040e0c011c2000' + 'ffffffffff030000'],
  ['Set Event Mask', '01010c08' + '9000800200008020', '040e0401010c00'],
  ['LE Set Event Mask', '01012008' + '7f08000000000000', '040e0401012000'],
  ['LE Read Advertising Channel TX Power', '01072000', '040e0501072000' + '00'],
  ['LE Read Accept List Size', '010f2000', '040e05010f2000' + '10'],
  ['LE Clear Accept List', '01102000', '040e0401102000'],
  ['LE Read Resolving List Size', '012a2000', '040e05012a2000' + '00'],
  ['LE Clear Resolving List', '01292000', '040e0401292000'],
  ['LE Set Resolvable Private Address Timeout', '012e2002' + '8403', '040e04012e2000'],
  ['LE Read Maximum Data Length', '012f2000', '040e0c012f2000' + 'fb009042fb009042'],
  ['LE Read Suggested Default Data Length', '01232000', '040e0801232000' + '1b004801'],
  ['LE Write Suggested Default Data Length', '01242004' + 'fb009042', '040e0401242000'],
  ['LE Set Default PHY', '01312003' + '000707', '040e0401312000'],
];

describe('a full host', () => {
  it.each(bringUp)('is answered %s', (_, command, answer) => {
    expect(ask(new RadioBench(), command)).toEqual([answer]);
  });

  it('is told of every command that it looks for', () => {
    const [answer] = ask(new RadioBench(), '01021000');
    expect(answer!.slice(0, 14)).toBe('040e4401021000');
    const octets = bytes(answer!.slice(14));
    expect(octets.length).toBe(64);
    const asked: readonly (readonly [octet: number, ...bits: number[]])[] = [
      [0, 5],
      [2, 7],
      [5, 6, 7],
      [14, 3, 5],
      [15, 1],
      [25, 0, 1, 2, 4, 5, 6, 7],
      [26, 0, 1, 2, 3, 4, 5, 6, 7],
      [27, 0, 1, 2, 5, 6, 7],
      [28, 0, 3],
      [33, 4, 5, 6, 7],
      [34, 0, 3, 4, 5, 6],
      [35, 1, 2, 3, 4, 5, 6],
    ];
    for (const [octet, ...bits] of asked)
      for (const bit of bits) expect(octets[octet]! & (1 << bit), `${octet}:${bit}`).not.toBe(0);
  });

  it('has neither privacy nor extended advertising, so that it waits for the plain LE Connection Complete', () => {
    const [answer] = ask(new RadioBench(), '01032000');
    const features = bytes(answer!.slice(14));
    expect(features[0]! & 0x40).toBe(0);
    expect(features[1]! & 0x10).toBe(0);
  });

  it('finds, connects, learns, encrypts and leaves, octet by octet', () => {
    const bench = new RadioBench();
    const board = bench.hosts[1]!;
    board.advertise({ data: bytes('020106'), scanResponse: bytes('0409626f61') });
    for (const [, command] of bringUp) ask(bench, command);
    const wait = (ms: number): readonly string[] => {
      const before = bench.central.log.length;
      bench.advance(ms);
      return bench.central.log.slice(before).map((line) => line.split(' ')[1]!);
    };

    // Discovery: a random address, active scanning of 30 ms in 60 ms, duplicates filtered.
    expect(ask(bench, '01052006' + '112233445566')).toEqual(['040e0401052000']);
    expect(ask(bench, '010b2007' + '01' + '6000' + '3000' + '01' + '00')).toEqual(['040e04010b2000']);
    expect(ask(bench, '010c2002' + '0101')).toEqual(['040e04010c2000']);
    const peer = '010000dc1b00';
    expect(wait(1000)).toEqual([
      '043e0f0201' + '0000' + peer + '03020106' + 'c4',
      '043e110201' + '0400' + peer + '050409626f61' + 'c4',
    ]);
    expect(ask(bench, '010c2002' + '0000')).toEqual(['040e04010c2000']);

    // Connecting: the accept list, passive scanning, and at an advertisement the connection.
    expect(ask(bench, '01112007' + '00' + peer)).toEqual(['040e0401112000']);
    expect(ask(bench, '010b2007' + '00' + '6000' + '3000' + '01' + '01')).toEqual(['040e04010b2000']);
    expect(ask(bench, '010c2002' + '0101')).toEqual(['040e04010c2000']);
    expect(wait(1000)).toEqual(['043e0f0201' + '0000' + peer + '03020106' + 'c4']);
    expect(ask(bench, '010c2002' + '0000')).toEqual(['040e04010c2000']);
    const create = '6000' + '6000' + '00' + '00' + peer + '01' + '1800' + '2800' + '0000' + '2a00' + '0000' + '0000';
    expect(ask(bench, '010d2019' + create)).toEqual(['040f0400010d20']);
    // Handle 0x0040, central; 40 × 1.25 ms. The longer packets that the host asked for are agreed on in the first event.
    expect(wait(1000)).toEqual([
      '043e1301' + '00' + '4000' + '00' + '00' + peer + '2800' + '0000' + '2a00' + '00',
      '043e0b07' + '4000' + 'fb009042' + '1b004801',
    ]);

    expect(ask(bench, '01162002' + '4000')).toEqual(['040f0400011620']);
    expect(wait(200)).toEqual(['043e0c04' + '00' + '4000' + '2f49000000000000']);
    const update = '4000' + '1000' + '1000' + '0000' + '2a00' + '0000' + '0000';
    expect(ask(bench, '0113200e' + update)).toEqual(['040f0400011320']);
    expect(wait(1000)).toEqual(['043e0a03' + '00' + '4000' + '1000' + '0000' + '2a00']);

    // Data: L2CAP of an Exchange MTU Request, 517.
    expect(ask(bench, '02400007000300040002' + '0502')).toEqual([]);
    expect(wait(100)).toEqual(['0413050140000100']);
    expect(toHex(board.received(0x40))).toBe('0300040002' + '0502');

    const key = '000102030405060708090a0b0c0d0e0f';
    expect(ask(bench, '0119201c' + '4000' + '0000000000000000' + '0000' + key)).toEqual(['040f0400011920']);
    wait(100);
    const { handle, random, diversifier } = board.last('le-long-term-key-request');
    expect([toHex(random), diversifier]).toEqual(['00'.repeat(8), 0]);
    board.ok('le-long-term-key-request-reply', { handle, key: bytes(key) });
    expect(wait(100)).toEqual(['0408040040' + '0001']);

    expect(ask(bench, '01060403' + '4000' + '13')).toEqual(['040f0400010604']);
    expect(wait(100)).toEqual(['04050400400016']);
    expect(board.last('disconnection-complete')).toMatchObject({ status: 0, reason: 0x13 });
  });

  it('may refuse what a peripheral asks for, with its own reason', () => {
    const bench = new RadioBench();
    const { central, board } = bench.connect();
    bench.board.ok('le-connection-update', {
      handle: board,
      intervalMin: 41,
      intervalMax: 80,
      latency: 0,
      timeout: 100,
      eventLengthMin: 0,
      eventLengthMax: 0,
    });
    bench.advance(100);
    expect(bench.central.last('le-remote-connection-parameter-request')).toMatchObject({
      handle: central,
      intervalMax: 80,
    });
    expect(ask(bench, '01212003' + '4000' + '1e')).toEqual(['040e06012120004000']);
    bench.advance(100);
    expect(bench.board.last('le-connection-update-complete')).toMatchObject({ status: 0x1e, interval: 24 });
  });
});

describe('a controller', () => {
  it('does not know commands of others', () => {
    // Vendor's, BR/EDR's, extended advertising's. Status 0x01 in Command Status.
    expect(ask(new RadioBench(), '0101fc00')).toEqual(['040f04010101fc']);
    expect(ask(new RadioBench(), '01180c00')).toEqual(['040f040101180c']);
    expect(ask(new RadioBench(), '01362001ff')).toEqual(['040f0401013620']);
  });

  it.each([
    ['parameters too short', '010a2000', '040e04010a2012'],
    ['parameters too long', '01030c0100', '040e0401030c12'],
    ['enable 2', '010a200102', '040e04010a2012'],
    ['a scan window longer than its interval', '010b200700100011000000', '040e04010b2012'],
    ['a random address that was never set', '010b200700100010000100', '040e04010b2000'],
    ['an unknown handle', '010604039900' + '13', '040f0402010604'],
    ['an unknown handle, kept in the answer', '01302002' + '9900', '040e0801302002' + '99000000'],
    ['a reason that is none', '010604034000' + '55', '040f0402010604'],
    ['cancel without a search', '010e2000', '040e04010e200c'],
    ['a key that nobody asked for', '011b2002' + '4000', '040e06011b2002' + '4000'],
    ['a data length of 26', '01242004' + '1a009042', '040e0401242012'],
    ['a map of one channel', '01142005' + '0100000000', '040e0401142012'],
    // 4 s and latency 0 need more than 8 s. Core Vol 4 Part E 7.8.12.
    [
      'a timeout that the interval does not allow',
      '010d2019' + '1000' + '1000' + '00' + '00' + '010000dc1b00' + '00' + '800c800c' + '0000' + '2003' + '00000000',
      '040f0412010d20',
    ],
  ])('answers %s', (_, command, answer) => {
    expect(ask(new RadioBench(), command)).toEqual([answer]);
  });

  it('needs a random address before it uses one', () => {
    const bench = new RadioBench();
    ask(bench, '010b200700100010000100');
    expect(ask(bench, '010c20020100')).toEqual(['040e04010c2012']);
    ask(bench, '01052006' + '1122334455c6');
    expect(ask(bench, '010c20020100')).toEqual(['040e04010c2000']);
    // Not while it is in use, nor the parameters. Core Vol 4 Part E 7.8.4, 7.8.10.
    expect(ask(bench, '01052006' + '1122334455c7')).toEqual(['040e040105200c']);
    expect(ask(bench, '010b200700100010000100')).toEqual(['040e04010b200c']);
  });

  it('tells a host that it has not asked for LE events nothing of them', () => {
    const bench = new RadioBench();
    bench.hosts[1]!.advertise();
    ask(bench, '01030c00');
    bench.central.scan();
    bench.advance(1000);
    expect(bench.central.all('le-advertising-report')).toEqual([]);
  });

  it('tells of a stream out of step, and comes back by a reset', () => {
    const bench = new RadioBench();
    expect(ask(bench, '77')).toEqual(['04100101']);
    expect(ask(bench, '01091000')).toEqual([]);
    expect(ask(bench, '01030c00')).toEqual(['040e0401030c00']);
    expect(ask(bench, '01091000')).toHaveLength(1);
  });

  it('tells of a hardware error', () => {
    const bench = new RadioBench();
    bench.controllers[0]!.injectHardwareError(0x42);
    bench.clock.advance(us(0));
    expect(bench.central.last('hardware-error').code).toBe(0x42);
  });

  // Core Vol 6 Part C 1: e(LTK, SKD) of the sample data, least significant octet first in HCI.
  it('encrypts a block', () => {
    const bench = new RadioBench();
    const little = (text: string): Bytes => bytes(text).reverse();
    const { encrypted } = bench.central.returns('le-encrypt', {
      key: little('4c68384139f574d836bcf34e9dfb01bf'),
      plaintext: little('0213243546576879acbdcedfe0f10213'),
    });
    expect(toHex(encrypted.reverse())).toBe('99ad1b5226a37e3e058e3b8e27c2c666');
  });

  it('gives random numbers that differ from one another and from another controller’s', () => {
    const bench = new RadioBench();
    const rand = (i: number): string => toHex(bench.hosts[i]!.returns('le-rand', {}).random);
    const all = [rand(0), rand(0), rand(1), rand(1)];
    expect(new Set(all).size).toBe(4);
  });

  it('closes its host’s stream when it is taken out of the room', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    bench.controllers[1]!.remove();
    expect(bench.room.controllers).toEqual([bench.controllers[0]]);
    expect(bench.board.closed).toBe(true);
    bench.advance(2000);
    expect(bench.central.last('disconnection-complete')).toMatchObject({ handle: central, reason: 0x08 });
    expect(addressOf(1)).toBe(bench.central.last('le-connection-complete').peerAddress);
  });
});
