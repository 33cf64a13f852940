import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { concat, fromHex, type Bytes } from '../../base/bytes.ts';
import { arbitraryHciPacket } from '../../../test/support/arbitrary-hci.ts';
import { att, engineBench } from '../../../test/support/engine-bench.ts';

/** Exchange MTU, and the answer of the test's table. */
const mtu = '021700';

type Bench = ReturnType<typeof engineBench>;

/** A central that connects gets its answer: the host is whole. */
function works(bench: Bench): boolean {
  bench.controller.acl.length = 0;
  bench.connect(0x77);
  bench.bring(att, mtu, 0x77);
  return bench.sent().some((line) => /^77 0 0300040003/.test(line));
}

const resets = (bench: Bench): number => bench.commands().filter(({ kind }) => kind === 'reset').length;

const lost = (bench: Bench): number => bench.lines.filter((line) => line.endsWith('lost')).length;

describe('the host in C comes back', () => {
  it('at once from a hardware error, with its connections lost', () => {
    const bench = engineBench();
    bench.connect(0x40);
    bench.connect(0x41);
    bench.commands();
    bench.controller.tell('hardware-error', { code: 7 });
    bench.controller.run();
    expect(lost(bench)).toBe(2);
    expect(resets(bench)).toBe(1);
    expect(works(bench)).toBe(true);
  });

  it('at once from an octet that begins no packet', () => {
    const bench = engineBench();
    bench.connect();
    bench.commands();
    bench.controller.raw(Uint8Array.of(0x00));
    bench.controller.run();
    expect(lost(bench)).toBe(1);
    expect(resets(bench)).toBe(1);
    expect(works(bench)).toBe(true);
  });

  it('from octets that were lost within a packet, once a command is not answered', () => {
    const bench = engineBench();
    bench.connect();
    bench.commands();
    // The head of a packet of 4096 octets: all that follows is taken for its data.
    bench.controller.raw(fromHex('0240200010')!);
    bench.board.console.send('drop 1');
    bench.pass(1_900_000);
    expect(resets(bench)).toBe(0);
    bench.pass(200_000);
    expect(resets(bench)).toBe(1);
    expect(works(bench)).toBe(true);
  });

  it('from a controller that takes back its leave to send and never gives it again', () => {
    const bench = engineBench();
    bench.commands();
    // Command Status of no command, no credit.
    bench.controller.raw(fromHex('040f0400000000')!);
    bench.pass(1_900_000);
    expect(resets(bench)).toBe(0);
    bench.pass(200_000);
    expect(resets(bench)).toBe(1);
    expect(works(bench)).toBe(true);
  });

  it('finds the answer to its reset behind what only begins like it', () => {
    const bench = engineBench();
    bench.commands();
    bench.controller.answers.set('reset', false);
    bench.controller.raw(Uint8Array.of(0));
    bench.controller.run();
    expect(resets(bench)).toBe(1);
    bench.controller.answers.clear();
    bench.controller.raw(fromHex('04040e040e0401030c00')!);
    bench.controller.run();
    expect(bench.commands().at(-1)?.kind).toBe('le-set-advertising-enable');
    expect(works(bench)).toBe(true);
  });

  it('to advertising, which a controller refused, when a connection ends or after a second', () => {
    const bench = engineBench();
    const asked = (): number => bench.commands().filter(({ kind }) => kind === 'le-set-advertising-enable').length;
    asked();
    bench.controller.answers.set('le-set-advertising-enable', 0x0c);
    bench.connect();
    expect(asked()).toBe(1);
    bench.pass(60_000_000);
    expect(asked()).toBe(0);
    bench.disconnect(0x40, 0x13);
    expect(asked()).toBe(1);
    bench.controller.answers.clear();
    bench.pass(1_100_000);
    expect(asked()).toBe(1);
    bench.pass(60_000_000);
    expect(asked()).toBe(0);
  });

  it('to advertising after a connection that failed', () => {
    const bench = engineBench();
    bench.commands();
    bench.controller.raw(fromHex('043e13013e' + '00'.repeat(17))!);
    bench.controller.run();
    expect(bench.commands()).toEqual([{ kind: 'le-set-advertising-enable', enable: 1 }]);
  });
});

describe('whatever a controller says', () => {
  it('never stops the host: it answers the next central, after a reset if need be', () => {
    fc.assert(
      fc.property(fc.array(arbitraryHciPacket, { maxLength: 40 }), fc.nat(7), (packets, cut) => {
        const bench = engineBench();
        bench.connect(0x40);
        for (const piece of cutUp(concat(...packets), cut + 1)) bench.controller.raw(piece);
        bench.controller.run();
        // An octet that begins no packet, enough times for it to be read as such: then the host resets.
        bench.controller.raw(new Uint8Array(70_000));
        bench.pass(10_000_000);
        expect(works(bench)).toBe(true);
      }),
      { numRuns: 100 },
    );
  });

  it('means the same in whatever pieces it comes', () => {
    fc.assert(
      fc.property(fc.array(arbitraryHciPacket, { maxLength: 20 }), fc.integer({ min: 1, max: 5 }), (packets, size) => {
        const [whole, cut] = [1 << 20, size].map((pieces) => {
          const bench = engineBench();
          bench.connect(0x40);
          for (const piece of cutUp(concat(...packets), pieces)) bench.controller.raw(piece);
          bench.pass(2_500_000);
          return { commands: bench.commands(), sent: bench.sent(), lines: bench.lines };
        });
        expect(cut).toEqual(whole);
      }),
      { numRuns: 60 },
    );
  });
});

function cutUp(octets: Bytes, size: number): readonly Bytes[] {
  const pieces: Bytes[] = [];
  for (let at = 0; at < octets.length; at += size) pieces.push(octets.subarray(at, at + size));
  return pieces;
}
