import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { VirtualClock, type Cancel } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import { RadioBench, addressOf } from '../../test/support/radio-bench.ts';
import { RadioRoom } from './radio-room.ts';
import { HciProbe } from '../../test/support/hci-probe.ts';
import { crcOctets } from './air-packet.ts';
import { crc24 } from './pdu/crc24.ts';

const filled = (length: number, octet: number): Uint8Array => new Uint8Array(length).fill(octet);

/** Counts what is scheduled on it. */
class CountingClock extends VirtualClock {
  scheduled = 0;
  override schedule(at: Microseconds, call: () => void): Cancel {
    this.scheduled += 1;
    return super.schedule(at, call);
  }
}

/** What a test does to a room, step by step. */
type Act =
  | { readonly kind: 'send'; readonly board: number; readonly up: boolean; readonly length: number }
  | { readonly kind: 'wait'; readonly us: number }
  | { readonly kind: 'off' | 'on'; readonly board: number }
  | { readonly kind: 'update'; readonly board: number; readonly interval: number; readonly latency: number }
  | { readonly kind: 'scan'; readonly on: boolean }
  | { readonly kind: 'encrypt' | 'leave' | 'advertise'; readonly board: number };

const boards = 3;
const board = fc.integer({ min: 1, max: boards });
const acts: fc.Arbitrary<readonly Act[]> = fc.array(
  fc.oneof(
    {
      weight: 4,
      arbitrary: fc.record({
        kind: fc.constant('send'),
        board,
        up: fc.boolean(),
        length: fc.integer({ min: 1, max: 251 }),
      }),
    },
    { weight: 6, arbitrary: fc.record({ kind: fc.constant('wait'), us: fc.nat(3_000_000) }) },
    { weight: 1, arbitrary: fc.record({ kind: fc.constantFrom('off', 'on'), board }) },
    {
      weight: 1,
      arbitrary: fc.record({
        kind: fc.constant('update'),
        board,
        interval: fc.integer({ min: 6, max: 100 }),
        latency: fc.nat(4),
      }),
    },
    { weight: 1, arbitrary: fc.record({ kind: fc.constant('scan'), on: fc.boolean() }) },
    { weight: 1, arbitrary: fc.record({ kind: fc.constantFrom('encrypt', 'leave', 'advertise'), board }) },
  ),
  { minLength: 1, maxLength: 25 },
);

/** Runs a room through the acts; gives all that the hosts saw, with times. */
function run(
  list: readonly Act[],
  options: { readonly seed: number; readonly rate: number; readonly watch: boolean },
): readonly string[] {
  const bench = new RadioBench({ seed: options.seed, boards, watch: options.watch });
  const handles = Array.from({ length: boards }, (_, i) => bench.connect(i + 1));
  bench.room.setPacketErrorRate(options.rate);
  for (const act of list) {
    const handle = 'board' in act ? handles[act.board - 1]! : handles[0]!;
    const host = 'board' in act ? bench.hosts[act.board]! : bench.central;
    switch (act.kind) {
      case 'send':
        if (act.up) host.send(handle.board, filled(act.length, 1));
        else bench.central.send(handle.central, filled(act.length, 2));
        break;
      case 'wait':
        bench.clock.advance(us(act.us));
        break;
      case 'off':
        bench.controllers[act.board]!.powerOff();
        break;
      case 'on':
        bench.controllers[act.board]!.powerOn();
        break;
      case 'update':
        bench.central.status('le-connection-update', {
          handle: handle.central,
          intervalMin: act.interval,
          intervalMax: act.interval,
          latency: act.latency,
          timeout: 400,
          eventLengthMin: 0,
          eventLengthMax: 0,
        });
        break;
      case 'scan':
        bench.central.status('le-set-scan-enable', { enable: act.on ? 1 : 0, filterDuplicates: 0 });
        break;
      case 'encrypt': {
        const key = filled(16, act.board);
        bench.central.status('le-enable-encryption', {
          handle: handle.central,
          random: filled(8, 0),
          diversifier: 0,
          key,
        });
        bench.clock.advance(us(150_000));
        host.status('le-long-term-key-request-reply', { handle: handle.board, key });
        break;
      }
      case 'leave':
        bench.central.status('disconnect', { handle: handle.central, reason: 0x13 });
        break;
      case 'advertise':
        host.status('le-set-advertising-enable', { enable: 1 });
        break;
    }
  }
  bench.clock.advance(us(5_000_000));
  return bench.hosts.flatMap((host, i) => host.log.map((line) => `${i} ${line}`));
}

describe('a room', () => {
  it('does the same again with the same seed, and something else with another', () => {
    const list: readonly Act[] = [
      { kind: 'send', board: 1, up: true, length: 200 },
      { kind: 'wait', us: 2_000_000 },
      { kind: 'leave', board: 2 },
      { kind: 'wait', us: 500_000 },
    ];
    const once = run(list, { seed: 7, rate: 0.1, watch: false });
    expect(run(list, { seed: 7, rate: 0.1, watch: false })).toEqual(once);
    expect(run(list, { seed: 8, rate: 0.1, watch: false })).not.toEqual(once);
  });

  // An onlooker must see every packet, so nothing is skipped while there is one: both ways must come to the same.
  it('skips idle events without any host noticing', () => {
    fc.assert(
      fc.property(acts, fc.nat(0xffff), fc.constantFrom(0, 0.02, 0.2), (list, seed, rate) => {
        expect(run(list, { seed, rate, watch: false })).toEqual(run(list, { seed, rate, watch: true }));
      }),
      { numRuns: 25 },
    );
  }, 60_000);

  it('has eight boards connected to one central, each spoken to', () => {
    const bench = new RadioBench({ boards: 8, seed: 4 });
    const handles = Array.from({ length: 8 }, (_, i) => bench.connect(i + 1, { timeout: 400 }));
    bench.room.setPacketErrorRate(0.01);
    expect(new Set(handles.map(({ central }) => central)).size).toBe(8);
    for (let round = 0; round < 20; round++) {
      handles.forEach(({ central, board: own }, i) => {
        bench.central.send(central, filled(20, i + 1));
        bench.hosts[i + 1]!.send(own, filled(20, 0x80 + i));
        // At most eight packets may wait at the central.
        if (i % 4 === 3) bench.advance(200);
      });
    }
    bench.advance(2000);
    handles.forEach(({ central, board: own }, i) => {
      expect(bench.hosts[i + 1]!.received(own)).toEqual(filled(400, i + 1));
      expect(bench.central.received(central)).toEqual(filled(400, 0x80 + i));
    });
    expect(bench.hosts.flatMap((host) => host.all('disconnection-complete'))).toEqual([]);
    expect(bench.controllers[0]!.counts.connections).toBe(8);
  });

  it('gives the events of one central times of their own', () => {
    const bench = new RadioBench({ boards: 8, watch: true });
    for (let i = 1; i <= 8; i++) bench.connect(i);
    bench.packets.length = 0;
    bench.advance(300);
    const packets = bench.packets.filter(({ link }) => link !== undefined);
    for (let i = 1; i < packets.length; i++) {
      expect(packets[i]!.at).toBeGreaterThanOrEqual(packets[i - 1]!.at + packets[i - 1]!.duration);
    }
    // Ten events of each of the eight, and an answer to each.
    expect(packets.length).toBeGreaterThanOrEqual(2 * 8 * 9);
  });

  it('lets a board serve several centrals whose events fall together, in turns', () => {
    const spoken = (seed: number, watch: boolean): readonly string[] => {
      const bench = new RadioBench({ seed, boards: 3, watch });
      const [board, ...centrals] = bench.hosts;
      board!.advertise({ interval: 0x20 });
      centrals.forEach((central) => {
        central.create(addressOf(0), { intervalMin: 6, intervalMax: 6, timeout: 50 });
        bench.advance(200);
        board!.ok('le-set-advertising-enable', { enable: 1 });
      });
      for (let i = 0; i < 6; i++) {
        for (const central of centrals) central.send(0x40, filled(60, i));
        bench.advance(700);
      }
      expect(bench.hosts.flatMap((host) => host.all('disconnection-complete'))).toEqual([]);
      expect(board!.acl.reduce((sum, { packet }) => sum + packet.data.length, 0)).toBe(3 * 6 * 60);
      return bench.hosts.flatMap((host) => host.log);
    };
    for (let seed = 0; seed < 20; seed++) expect(spoken(seed, false)).toEqual(spoken(seed, true));
  });

  it('lets eight hours of an idle connection cost next to nothing', () => {
    const clock = new CountingClock();
    const room = new RadioRoom({ clock, seed: 1, packetErrorRate: 0.01 });
    const [central, peripheral] = [0, 1].map(
      (i) => new HciProbe(room.addController({ address: addressOf(i) }).port, clock),
    );
    central!.bringUp();
    peripheral!.bringUp();
    peripheral!.advertise();
    central!.create(addressOf(1), { timeout: 400 });
    clock.advance(us(2_000_000));
    const before = clock.scheduled;
    clock.advance(us(8 * 3_600_000_000));
    expect(central!.all('disconnection-complete')).toEqual([]);
    // 960,000 events; looked at once in about every supervision timeout of 4 s, by each end.
    expect(clock.scheduled - before).toBeLessThan(2 * 8 * 3600);
    const { handle } = central!.last('le-connection-complete');
    central!.send(handle, filled(5, 1));
    clock.advance(us(200_000));
    expect(peripheral!.acl.length).toBe(1);
  });

  it('lets a board that nobody listens to advertise for nothing', () => {
    const clock = new CountingClock();
    const room = new RadioRoom({ clock, seed: 1 });
    const [central, peripheral] = [0, 1].map(
      (i) => new HciProbe(room.addController({ address: addressOf(i) }).port, clock),
    );
    central!.bringUp();
    peripheral!.bringUp();
    peripheral!.advertise();
    const before = clock.scheduled;
    clock.advance(us(8 * 3_600_000_000));
    expect(clock.scheduled - before).toBeLessThan(10);
    central!.scan();
    clock.advance(us(1_000_000));
    expect(central!.all('le-advertising-report').length).toBeGreaterThan(3);
  });

  it('shows an onlooker packets with their CRC, right or wrong', () => {
    const bench = new RadioBench({ watch: true, packetErrorRate: 0.3 });
    bench.connect();
    bench.advance(1000);
    const wrong = bench.packets.filter(({ crcOk }) => !crcOk);
    expect(wrong.length).toBeGreaterThan(3);
    for (const packet of bench.packets) {
      expect(crcOctets(packet).toString() === crc24(packet.pdu, packet.crcInit).toString()).toBe(packet.crcOk);
    }
    const stop = bench.room.observe(() => {
      throw new Error('nobody looks any more');
    });
    stop();
    bench.advance(100);
  });

  it('takes an onlooker in the midst of it', () => {
    const bench = new RadioBench();
    bench.connect();
    bench.advance(10_000);
    const seen: number[] = [];
    bench.room.observe(({ at }) => void seen.push(at));
    bench.advance(300);
    expect(seen.length).toBe(20);
  });
});
