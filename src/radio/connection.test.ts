import { describe, expect, it } from 'vitest';
import { toHex } from '../base/bytes.ts';
import { RadioBench } from '../../test/support/radio-bench.ts';

const filled = (length: number, octet: number): Uint8Array => new Uint8Array(length).fill(octet);

describe('a connection', () => {
  it('keeps to the times of the standard', () => {
    const bench = new RadioBench({ watch: true });
    bench.connect();
    const [advertisement, request, first, second] = bench.packets;
    // Core Vol 6 Part B 2.1 and 4.1.1: 8 µs an octet, and 150 µs between a packet and its answer.
    expect(advertisement).toMatchObject({ channel: 37, duration: 8 * (10 + 9), crcOk: true });
    expect(request).toMatchObject({ duration: 352, at: advertisement!.at + advertisement!.duration + 150 });
    // 4.5.3: the transmit window begins 1.25 ms after the request.
    expect(first).toMatchObject({ at: request!.at + request!.duration + 1250, duration: 80, from: 'board 0' });
    expect(second).toMatchObject({ at: first!.at + 80 + 150, duration: 80, from: 'board 1' });
    expect(first!.accessAddress).toBe(second!.accessAddress);
  });

  it('carries data both ways, cut into packets of 27 octets, several in one event', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    bench.central.send(central, filled(100, 7));
    bench.board.send(board, filled(30, 9));
    bench.packets.length = 0;
    bench.advance(60);
    expect(toHex(bench.board.received(board))).toBe('07'.repeat(100));
    expect(toHex(bench.central.received(central))).toBe('09'.repeat(30));
    expect(new Set(bench.packets.filter(({ pdu }) => pdu[1]! > 0).map(({ link }) => link!.event)).size).toBe(1);
    // The first packet begins an L2CAP packet, the others go on with it. Core Vol 4 Part E 5.4.2.
    expect(bench.board.acl.map(({ packet }) => packet.boundary)).toEqual([2, 1, 1, 1]);
    expect(bench.central.last('number-of-completed-packets').completed).toEqual([{ handle: central, count: 1 }]);
  });

  it('counts its packets, also those that nobody looked at', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    bench.advance(10_000);
    const before = bench.controllers[0]!.counts;
    bench.advance(3_000);
    const after = bench.controllers[0]!.counts;
    // A hundred events of 30 ms, each a packet and its answer.
    expect([after.packets - before.packets, after.heard - before.heard, after.repeated]).toEqual([100, 100, 0]);
    bench.controllers[1]!.powerOff();
    bench.central.send(central, filled(5, 1));
    bench.advance(300);
    expect(bench.controllers[0]!.counts.repeated).toBeGreaterThan(5);
    bench.advance(1000);
    expect(bench.controllers[0]!.counts).toMatchObject({ connections: 0, heard: after.heard });
  });
});
