import { describe, expect, it } from 'vitest';
import { fromHex, toHex, type Bytes } from '../../../base/bytes.ts';
import type { AirPacket } from '../../air-packet.ts';
import { dataPacketTime } from '../../air-time.ts';
import { RadioBench } from '../../../../test/support/radio-bench.ts';

const bytes = (text: string): Bytes => fromHex(text)!;
const filled = (length: number, octet: number): Uint8Array => new Uint8Array(length).fill(octet);
const update = (handle: number, interval: number, latency = 0, timeout = 100) => ({
  handle,
  intervalMin: interval,
  intervalMax: interval,
  latency,
  timeout,
  eventLengthMin: 0,
  eventLengthMax: 0,
});

/** Opcodes of control PDUs in the order they were first sent, with who sent them. */
function controls(packets: readonly AirPacket[]): readonly string[] {
  const seen: string[] = [];
  for (const { pdu, from, link, crcOk } of packets) {
    if (link === undefined || link.encrypted || !crcOk || (pdu[0]! & 3) !== 3) continue;
    seen.push(`${from === 'board 0' ? 'C' : 'P'} ${toHex(pdu.slice(2, 3))}`);
  }
  return seen;
}

describe('change of parameters', () => {
  it('by the central takes place at one event, for both', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    bench.packets.length = 0;
    bench.central.ok('le-connection-update', update(central, 80, 2, 300));
    bench.advance(3000);
    const told = { status: 0, interval: 80, latency: 2, timeout: 300 };
    expect(bench.central.last('le-connection-update-complete')).toMatchObject({ handle: central, ...told });
    expect(bench.board.last('le-connection-update-complete')).toMatchObject({ handle: board, ...told });
    expect(controls(bench.packets)).toEqual(['C 00']);
    const starts = bench.packets
      .filter(({ from }) => from === 'board 0')
      .map(({ at, link }) => ({ at, event: link!.event }));
    const pdu = bench.packets.find(({ pdu: octets }) => (octets[0]! & 3) === 3)!.pdu;
    const instant = pdu[12]! | (pdu[13]! << 8);
    const gap = (event: number): number =>
      starts.find((start) => start.event === event + 1)!.at - starts.find((start) => start.event === event)!.at;
    // The interval before the instant is the old one; from the instant on it is the new one.
    expect(gap(instant - 1)).toBe(30_000);
    expect(gap(instant)).toBe(100_000);
  });

  it('by the peripheral is a question to the central’s host', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    bench.packets.length = 0;
    bench.board.ok('le-connection-update', update(board, 40));
    bench.advance(100);
    const asked = bench.central.last('le-remote-connection-parameter-request');
    expect(asked).toMatchObject({ handle: central, intervalMin: 40, intervalMax: 40, latency: 0, timeout: 100 });
    bench.central.ok('le-remote-connection-parameter-request-reply', update(central, 40));
    expect(bench.central.status('le-remote-connection-parameter-request-reply', update(central, 40))).toBe(0x0c);
    bench.advance(1000);
    expect(bench.board.last('le-connection-update-complete')).toMatchObject({ status: 0, interval: 40 });
    expect(bench.central.last('le-connection-update-complete')).toMatchObject({ status: 0, interval: 40 });
    expect(controls(bench.packets)).toEqual(['P 0f', 'C 00']);
  });

  it('is refused for a host that does not want to be asked', () => {
    const bench = new RadioBench();
    const { board } = bench.connect();
    bench.central.ok('le-set-event-mask', { mask: bytes('1f00000000000000') });
    bench.board.ok('le-connection-update', update(board, 40));
    bench.advance(200);
    expect(bench.board.last('le-connection-update-complete').status).toBe(0x1a);
  });

  it('collides when both begin it: the central’s goes on', () => {
    const bench = new RadioBench();
    const { central, board } = bench.connect();
    bench.central.ok('le-connection-update', update(central, 80));
    bench.board.ok('le-connection-update', update(board, 40));
    bench.advance(1000);
    expect(bench.central.last('le-connection-update-complete')).toMatchObject({ status: 0, interval: 80 });
    expect(bench.board.all('le-connection-update-complete').map(({ status }) => status)).toEqual([0x23, 0]);
  });

  it('is checked before it begins', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    for (const wrong of [
      update(central, 5),
      update(central, 3201),
      update(central, 80, 500),
      update(central, 80, 0, 20),
    ]) {
      expect(bench.central.status('le-connection-update', wrong)).toBe(0x12);
    }
  });

  it('survives loss, and the connection goes on', () => {
    const bench = new RadioBench({ seed: 5 });
    const { central, board } = bench.connect(1, { timeout: 400 });
    bench.room.setPacketErrorRate(0.2);
    for (const interval of [12, 60, 6, 24]) {
      bench.central.ok('le-connection-update', update(central, interval, 0, 400));
      bench.advance(4000);
      expect(bench.board.last('le-connection-update-complete')).toMatchObject({ status: 0, interval });
    }
    bench.central.send(central, filled(50, 1));
    bench.advance(2000);
    expect(bench.board.received(board).length).toBe(50);
  });

  it('leaves out the channels that the host takes away', () => {
    const bench = new RadioBench({ watch: true });
    const { central } = bench.connect();
    const map = bytes('0006e0001e');
    bench.central.ok('le-set-host-channel-classification', { channelMap: map });
    bench.advance(1000);
    expect(toHex(bench.central.returns('le-read-channel-map', { handle: central }).channelMap)).toBe('0006e0001e');
    bench.packets.length = 0;
    bench.advance(3000);
    const channels = new Set(bench.packets.map(({ channel }) => channel));
    expect([...channels].sort((a, b) => a - b)).toEqual([9, 10, 21, 22, 23, 33, 34, 35, 36]);
  });
});

describe('data length', () => {
  it('is agreed on at the host’s wish, and then used', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    bench.central.ok('le-set-data-length', { handle: central, txOctets: 251, txTime: 17_040 });
    bench.advance(100);
    const whole = { txOctets: 251, txTime: 17_040 };
    expect(bench.central.last('le-data-length-change')).toMatchObject({
      handle: central,
      ...whole,
      rxOctets: 27,
      rxTime: 328,
    });
    expect(bench.board.last('le-data-length-change')).toMatchObject({
      handle: board,
      txOctets: 27,
      rxOctets: 251,
      rxTime: 17_040,
    });
    bench.packets.length = 0;
    bench.central.send(central, filled(251, 1));
    bench.board.send(board, filled(251, 2));
    bench.advance(100);
    const lengths = (from: string): number[] =>
      bench.packets.filter((p) => p.from === from && p.pdu[1]! > 0).map(({ pdu }) => pdu[1]!);
    expect(lengths('board 0')).toEqual([251]);
    expect(lengths('board 1')[0]).toBe(27);
  });

  it('is bounded by time as well', () => {
    const bench = new RadioBench({ watch: true });
    const { central } = bench.connect();
    // 1064 µs on 1M, MIC included: 8 × (1 + 4 + 2 + n + 4 + 3) <= 1064, n = 119.
    bench.central.ok('le-set-data-length', { handle: central, txOctets: 251, txTime: 1064 });
    bench.advance(100);
    bench.packets.length = 0;
    bench.central.send(central, filled(251, 1));
    bench.advance(100);
    expect(bench.packets.find(({ pdu }) => pdu[1]! > 0)!.pdu[1]).toBe(119);
  });

  it('is begun by a controller whose host has suggested more', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.ok('le-write-default-data-length', { txOctets: 100, txTime: 2120 });
    bench.connect();
    bench.advance(100);
    expect(controls(bench.packets)).toEqual(['P 14', 'C 15']);
    expect(bench.board.last('le-data-length-change').txOctets).toBe(100);
  });
});

describe('PHY', () => {
  it.each([
    ['central', 2, 0, '2M', 2],
    ['board', 2, 0, '2M', 2],
    ['central', 4, 0, 'coded-s8', 3],
    ['central', 4, 1, 'coded-s2', 3],
  ] as const)('is changed by the %s’s host to %i, %i', (who, phys, options, phy, number) => {
    const bench = new RadioBench({ watch: true });
    const handles = bench.connect();
    const { central, board } = handles;
    for (const host of [bench.central, bench.board]) {
      const other = host === bench[who] ? phys : 7;
      host.ok('le-set-default-phy', { allPhys: 0, txPhys: other, rxPhys: other });
    }
    bench[who].ok('le-set-phy', { handle: handles[who], allPhys: 0, txPhys: phys, rxPhys: phys, options });
    bench.advance(1000);
    for (const host of [bench.central, bench.board])
      expect(host.last('le-phy-update-complete')).toMatchObject({ status: 0, txPhy: number, rxPhy: number });
    expect(bench.central.returns('le-read-phy', { handle: central })).toEqual({
      handle: central,
      txPhy: number,
      rxPhy: number,
    });
    bench.packets.length = 0;
    bench.central.send(central, filled(27, 1));
    bench.advance(100);
    expect(toHex(bench.board.received(board))).toBe('01'.repeat(27));
    const full = bench.packets.find(({ pdu }) => pdu[1] === 27)!;
    expect(full.phy).toBe(bench[who] === bench.central || phy === '2M' ? phy : full.phy);
    expect(full.duration).toBe(dataPacketTime(full.phy, 27, false));
  });

  it('that nobody can change to stays, and the host is told', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    bench.board.ok('le-set-default-phy', { allPhys: 0, txPhys: 1, rxPhys: 1 });
    bench.central.ok('le-set-phy', { handle: central, allPhys: 0, txPhys: 2, rxPhys: 2, options: 0 });
    bench.advance(1000);
    expect(bench.central.last('le-phy-update-complete')).toMatchObject({ status: 0, txPhy: 1, rxPhy: 1 });
    expect(bench.board.all('le-phy-update-complete')).toEqual([]);
  });

  it('is not changed to none or to an unknown one', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    for (const phys of [0, 8]) {
      expect(
        bench.central.status('le-set-phy', { handle: central, allPhys: 0, txPhys: phys, rxPhys: 1, options: 0 }),
      ).toBe(0x12);
    }
  });
});

describe('features and versions', () => {
  it.each(['central', 'board'] as const)('are told to the %s’s host, and asked for once', (who) => {
    const bench = new RadioBench({ watch: true });
    const handle = bench.connect()[who];
    for (let i = 0; i < 2; i++) {
      bench[who].ok('le-read-remote-features', { handle });
      bench[who].ok('read-remote-version', { handle });
      bench.advance(100);
    }
    expect(bench[who].all('le-read-remote-features-complete').map(({ features }) => toHex(features))).toEqual(
      Array(2).fill('2f49000000000000'),
    );
    expect(bench[who].all('remote-version-complete').map(({ version, company }) => [version, company])).toEqual(
      Array(2).fill([0x0c, 0xffff]),
    );
    expect(controls(bench.packets)).toEqual(
      who === 'central' ? ['C 08', 'P 09', 'C 0c', 'P 0c'] : ['P 0e', 'C 09', 'P 0c', 'C 0c'],
    );
  });
});
