import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toHex } from '../../base/bytes.ts';
import { creation } from '../../../test/support/hci-probe.ts';
import { RadioBench, addressOf } from '../../../test/support/radio-bench.ts';

const filled = (length: number, octet: number): Uint8Array => new Uint8Array(length).fill(octet);

describe('making a connection', () => {
  it('can be given up', () => {
    const bench = new RadioBench();
    bench.central.create(addressOf(1));
    expect(bench.central.status('le-create-connection', creation(addressOf(1)))).toBe(0x0c);
    bench.advance(100);
    bench.central.ok('le-create-connection-cancel', {});
    expect(bench.central.last('le-connection-complete').status).toBe(0x02);
    // The answer comes before the event. Core Vol 4 Part E 7.8.13.
    expect(bench.central.events.slice(-2).map(({ event }) => event.kind)).toEqual([
      'command-complete',
      'le-connection-complete',
    ]);
    bench.board.advertise();
    bench.advance(1000);
    expect(bench.board.all('le-connection-complete')).toEqual([]);
  });

  it('takes any device of the accept list', () => {
    const bench = new RadioBench({ boards: 2 });
    bench.hosts[1]!.advertise();
    bench.hosts[2]!.advertise();
    bench.central.ok('le-add-to-accept-list', { addressType: 0, address: addressOf(2) });
    bench.central.create('00:00:00:00:00:00', { filterPolicy: 1 });
    bench.advance(1000);
    expect(bench.central.last('le-connection-complete').peerAddress).toBe(addressOf(2));
  });

  it('uses random addresses where the hosts chose them', () => {
    const bench = new RadioBench();
    bench.central.ok('le-set-random-address', { address: 'c0:00:00:00:00:01' });
    bench.board.ok('le-set-random-address', { address: 'c0:00:00:00:00:02' });
    bench.board.ok('le-set-advertising-parameters', {
      intervalMin: 32,
      intervalMax: 32,
      type: 0,
      ownAddressType: 1,
      peerAddressType: 0,
      peerAddress: addressOf(0),
      channelMap: 7,
      filterPolicy: 0,
    });
    bench.board.ok('le-set-advertising-enable', { enable: 1 });
    bench.central.create('c0:00:00:00:00:02', { peerAddressType: 1, ownAddressType: 1 });
    bench.advance(500);
    expect(bench.central.last('le-connection-complete')).toMatchObject({
      peerAddressType: 1,
      peerAddress: 'c0:00:00:00:00:02',
    });
    expect(bench.board.last('le-connection-complete')).toMatchObject({
      role: 1,
      peerAddressType: 1,
      peerAddress: 'c0:00:00:00:00:01',
    });
  });

  it('refuses a second connection to the same device', () => {
    const bench = new RadioBench();
    bench.connect();
    expect(bench.central.status('le-create-connection', creation(addressOf(1)))).toBe(0x0b);
  });

  // Core Vol 6 Part B 4.5.2: six intervals without a packet.
  it('fails to be established when the other end never hears the request', () => {
    const bench = new RadioBench();
    bench.board.advertise();
    bench.central.create(addressOf(1));
    let request = true;
    bench.room.interfere((_, from) => {
      // Let the advertisement through, and nothing from the central.
      if (from.id === 0) request = false;
      return from.id === 0 || !request;
    });
    bench.advance(2000);
    const made = bench.central.last('le-connection-complete');
    expect(made.status).toBe(0);
    expect(bench.central.last('disconnection-complete')).toMatchObject({ reason: 0x3e, at: made.at + 6 * 30_000 });
    expect(bench.board.all('le-connection-complete')).toEqual([]);
  });

  it('stops advertising, which may begin again while connected', () => {
    const bench = new RadioBench({ boards: 2 });
    bench.connect();
    bench.board.ok('le-set-advertising-enable', { enable: 1 });
    bench.hosts[2]!.create(addressOf(1));
    bench.advance(2000);
    expect(bench.board.all('le-connection-complete').map(({ handle }) => handle)).toEqual([0x40, 0x41]);
    bench.advance(5000);
    expect(bench.board.all('disconnection-complete')).toEqual([]);
  });

  it('falls back to channel selection #1 with a controller that knows no other', () => {
    const bench = new RadioBench({ watch: true, each: { channelSelection2: false } });
    bench.connect();
    bench.packets.length = 0;
    bench.advance(1200);
    expect(bench.central.last('le-channel-selection-algorithm').algorithm).toBe(0);
    const channels = bench.packets.filter(({ from }) => from === 'board 0').map(({ channel }) => channel);
    const hop = (channels[1]! - channels[0]! + 37) % 37;
    expect(hop).toBeGreaterThanOrEqual(5);
    expect(hop).toBeLessThanOrEqual(16);
    for (let i = 1; i < channels.length; i++) expect(channels[i]).toBe((channels[i - 1]! + hop) % 37);
    expect(channels.length).toBeGreaterThan(37);
  });
});

describe('the end of a connection', () => {
  it.each([
    ['central', 0x13],
    ['board', 0x15],
  ] as const)('by the %s’s host is told to both', (who, reason) => {
    const bench = new RadioBench();
    const handles = bench.connect();
    const other = who === 'central' ? 'board' : 'central';
    bench[who].ok('disconnect', { handle: handles[who], reason });
    expect(bench[who].status('disconnect', { handle: handles[who], reason })).toBe(0x0c);
    bench.advance(100);
    expect(bench[who].last('disconnection-complete')).toMatchObject({ status: 0, handle: handles[who], reason: 0x16 });
    expect(bench[other].last('disconnection-complete')).toMatchObject({ status: 0, handle: handles[other], reason });
    expect(bench[who].status('disconnect', { handle: handles[who], reason })).toBe(0x02);
  });

  it('comes by itself when nothing is heard for the supervision timeout', () => {
    const bench = new RadioBench();
    bench.connect(1, { timeout: 100 });
    bench.advance(3000);
    const heard = bench.clock.now();
    bench.controllers[1]!.powerOff();
    bench.advance(3000);
    for (const host of [bench.central, bench.board]) {
      const end = host.last('disconnection-complete');
      expect(end.reason).toBe(0x08);
      expect(end.at).toBeGreaterThan(heard + 1_000_000 - 30_000);
      expect(end.at).toBeLessThanOrEqual(heard + 1_000_000);
    }
  });

  it('does not come when the silence is shorter', () => {
    const bench = new RadioBench();
    const { central, board } = bench.connect(1, { timeout: 100 });
    bench.controllers[1]!.powerOff();
    bench.central.send(central, filled(20, 1));
    bench.advance(900);
    bench.controllers[1]!.powerOn();
    bench.advance(200);
    expect(bench.central.all('disconnection-complete')).toEqual([]);
    expect(bench.board.received(board).length).toBe(20);
  });

  it('by a reset of the controller is seen by the other end as silence', () => {
    const bench = new RadioBench();
    bench.connect();
    bench.central.ok('reset', {});
    bench.advance(2000);
    expect(bench.central.all('disconnection-complete')).toEqual([]);
    expect(bench.board.last('disconnection-complete').reason).toBe(0x08);
  });

  it('by a host that nobody acknowledges comes after one supervision timeout', () => {
    const bench = new RadioBench();
    const { central } = bench.connect(1, { timeout: 100 });
    bench.controllers[1]!.powerOff();
    bench.central.ok('disconnect', { handle: central, reason: 0x13 });
    bench.advance(1000);
    expect(bench.central.all('disconnection-complete').length).toBe(1);
  });
});

describe('data', () => {
  const pieces = fc.array(
    fc.record({ up: fc.boolean(), length: fc.integer({ min: 1, max: 251 }), after: fc.nat(60) }),
    {
      minLength: 1,
      maxLength: 20,
    },
  );

  it('arrives whole, once and in order, whatever is lost', () => {
    fc.assert(
      fc.property(
        pieces,
        fc.constantFrom(0, 0.05, 0.3),
        fc.nat(0xffff),
        fc.constantFrom(27, 251),
        (list, rate, seed, most) => {
          const bench = new RadioBench({ seed });
          for (const host of bench.hosts) host.ok('le-write-default-data-length', { txOctets: most, txTime: 17_040 });
          const { central, board } = bench.connect(1, { timeout: 3200 });
          bench.room.setPacketErrorRate(rate);
          const sent = { up: '', down: '' };
          list.forEach(({ up, length, after }, i) => {
            const data = filled(length, i + 1);
            if (up) bench.board.send(board, data);
            else bench.central.send(central, data);
            sent[up ? 'up' : 'down'] += toHex(data);
            bench.advance(after);
            // At most eight packets may wait, as the controllers say.
            if (i % 6 === 5) bench.advance(4000);
          });
          bench.advance(10_000);
          expect(toHex(bench.board.received(board))).toBe(sent.down);
          expect(toHex(bench.central.received(central))).toBe(sent.up);
          const completed = (host: typeof bench.central): number =>
            host.all('number-of-completed-packets').reduce((sum, event) => sum + event.completed[0]!.count, 0);
          expect(completed(bench.central)).toBe(list.filter(({ up }) => !up).length);
          expect(completed(bench.board)).toBe(list.filter(({ up }) => up).length);
        },
      ),
      { numRuns: 60 },
    );
  });

  it('beyond the buffers is dropped and told', () => {
    const bench = new RadioBench({ each: { aclCount: 2, aclLength: 27 } });
    const { central, board } = bench.connect();
    expect(bench.central.returns('le-read-buffer-size', {})).toEqual({ aclLength: 27, aclCount: 2 });
    for (let i = 0; i < 3; i++) bench.central.send(central, filled(10, i));
    expect(bench.central.all('data-buffer-overflow').length).toBe(1);
    bench.central.send(0x99, filled(3, 3));
    bench.advance(200);
    expect(toHex(bench.board.received(board))).toBe('00'.repeat(10) + '01'.repeat(10));
    bench.central.send(central, filled(28, 1));
    expect(bench.central.all('data-buffer-overflow').length).toBe(2);
  });

  it('waits for a host that has no room, and so for the other end', () => {
    const bench = new RadioBench();
    const { central, board } = bench.connect();
    bench.board.ok('host-buffer-size', { aclLength: 251, syncLength: 0, aclCount: 2, syncCount: 0 });
    bench.board.ok('set-controller-to-host-flow-control', { enable: 1 });
    for (let i = 0; i < 8; i++) bench.central.send(central, filled(27, i));
    bench.advance(300);
    for (let i = 8; i < 14; i++) bench.central.send(central, filled(27, i));
    bench.advance(1000);
    // Two at the host, eight in the controller, the others at the other end.
    expect(bench.board.acl.length).toBe(2);
    const completed = (): number => bench.central.all('number-of-completed-packets').length;
    expect(completed()).toBe(10);
    for (let i = 0; i < 14; i++) {
      bench.board.raw(Uint8Array.of(1, 0x35, 0x0c, 5, 1, board, 0, 1, 0));
      bench.advance(100);
    }
    expect(bench.board.acl.map(({ packet }) => packet.data[0])).toEqual(Array.from({ length: 14 }, (_, i) => i));
    expect(completed()).toBe(14);
    // That was one more than there were.
    expect(bench.board.status('host-number-of-completed-packets', { completed: [{ handle: board, count: 1 }] })).toBe(
      0x12,
    );
  });

  it('fills an event with as many pairs as the published bound allows', () => {
    // Gomez, Oller, Paradells, Sensors 2012, 12(9), 11734: 676 µs a packet of 27 octets and its empty answer.
    const bench = new RadioBench({ watch: true });
    const { board } = bench.connect(1, { intervalMin: 6, intervalMax: 6 });
    for (let i = 0; i < 8; i++) bench.board.send(board, filled(135, i));
    bench.advance(40);
    const perEvent = new Map<number, number>();
    for (const { link, pdu } of bench.packets) {
      if (link !== undefined && pdu[1] === 27) perEvent.set(link.event, (perEvent.get(link.event) ?? 0) + 1);
    }
    // floor(7500 / 676) = 11.
    expect([...perEvent.values()].slice(0, 3)).toEqual([11, 11, 11]);
  });

  it('keeps to the length of an event that the host allows', () => {
    const bench = new RadioBench({ watch: true });
    // 4 × 0.625 ms = 2.5 ms: three pairs of 676 µs.
    const { board } = bench.connect(1, { eventLengthMin: 4, eventLengthMax: 4 });
    for (let i = 0; i < 8; i++) bench.board.send(board, filled(135, i));
    bench.packets.length = 0;
    bench.advance(100);
    const events = bench.packets.filter(({ pdu }) => pdu[1] === 27).map(({ link }) => link!.event);
    expect(events.filter((event) => event === events[0]).length).toBe(3);
  });

  it('waits for a sleeping peripheral, which wakes to speak', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect(1, { latency: 9, timeout: 200 });
    bench.advance(1000);
    const answered = bench.packets
      .filter(({ from, link }) => from === 'board 1' && link !== undefined)
      .map(({ link }) => link!.event);
    const gaps = answered.slice(1).map((event, i) => event - answered[i]!);
    expect(gaps.slice(-2)).toEqual([10, 10]);
    const asked = bench.clock.now();
    bench.board.send(board, filled(5, 1));
    bench.advance(60);
    expect(bench.central.acl[0]!.at - asked).toBeLessThanOrEqual(31_000);
    bench.advance(30);
    const begun = bench.clock.now();
    bench.central.send(central, filled(5, 2));
    bench.advance(400);
    expect(bench.board.acl[0]!.at - begun).toBeGreaterThan(60_000);
    expect(bench.board.acl[0]!.at - begun).toBeLessThanOrEqual(300_000);
  });

  it('makes a peripheral that missed what it listened for listen again at once', () => {
    const bench = new RadioBench({ watch: true });
    bench.connect(1, { latency: 9, timeout: 200 });
    bench.advance(1000);
    let missed: number | undefined;
    bench.room.interfere(({ at }, from) => {
      if (from.id !== 0 || missed !== undefined) return false;
      missed = at;
      return true;
    });
    bench.packets.length = 0;
    bench.advance(400);
    const answer = bench.packets.find(({ from, at }) => from === 'board 1' && at > missed!);
    expect(answer!.at - missed!).toBe(30_000 + 80 + 150);
  });

  it('ends in silence when the peripheral never heard of a change', () => {
    const bench = new RadioBench();
    const { central } = bench.connect(1, { timeout: 100 });
    bench.advance(300);
    bench.central.ok('le-connection-update', {
      handle: central,
      intervalMin: 40,
      intervalMax: 40,
      latency: 0,
      timeout: 100,
      eventLengthMin: 0,
      eventLengthMax: 0,
    });
    bench.room.interfere((_, from) => from.id === 0);
    bench.advance(500);
    bench.room.interfere(undefined);
    bench.advance(2000);
    expect(bench.central.last('le-connection-update-complete').interval).toBe(40);
    for (const host of [bench.central, bench.board]) expect(host.last('disconnection-complete').reason).toBe(0x08);
  });
});
