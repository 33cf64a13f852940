import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bench, type BenchClient } from '../../test/support/bench-client.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { us } from '../base/quantity.ts';
import { VirtualClock } from '../base/clock.ts';
import { openLink } from '../att/link.ts';
import { boardReducer } from './board-reducer.ts';
import { defaultRig } from './default-rig.ts';
import { replay, type TimedEffect } from './replay.ts';
import { VirtualBoard, type LoggedEvent } from './virtual-board.ts';

const table = boardTable();

/** What may happen to a board, as one number that says what and some octets. */
type Deed = { readonly wait: number; readonly what: number; readonly pdu: Uint8Array };

const deeds = fc.array(
  fc.record({ wait: fc.nat(3000), what: fc.nat(9), pdu: fc.uint8Array({ minLength: 1, maxLength: 12 }) }),
  { maxLength: 40 },
);

const lines = ['list', 'set dye rhodamine', 'set count 5', 'drop all', 'tell off', 'tell on', 'clients', 'nonsense'];

/** Runs the deeds and gives everything that went in and came out. */
function run(seed: number, list: readonly Deed[]): { log: LoggedEvent[]; printed: readonly string[]; bench: Bench } {
  const bench = new Bench({ table, rig: defaultRig(table), seed });
  const log: LoggedEvent[] = [];
  bench.board.onEvent((logged) => log.push(logged));
  const clients: BenchClient[] = [];
  for (const { wait, what, pdu } of list) {
    bench.pass(wait);
    const client = clients.at(-1);
    if (what === 0 && bench.board.advertising) clients.push(bench.connect(`peer ${clients.length % 3}`));
    else if (what === 1) clients.pop()?.connection.end('lost');
    else if (what === 2) clients.shift()?.connection.end('terminated');
    else if (what === 3) client?.connection.secure({ ...openLink, encrypted: true, bonded: true });
    else if (what === 4) bench.board.type(lines[pdu[0]! % lines.length]!);
    else if (what === 5) client?.subscribe('count', pdu[0]! % 3);
    else client?.connection.send(pdu);
  }
  bench.pass(5000);
  return { log, printed: bench.printed(), bench };
}

describe('a virtual board', () => {
  it('does the same again, and a replay of its log the same too', () => {
    fc.assert(
      fc.property(fc.nat(0xffff_ffff), deeds, (seed, list) => {
        const first = run(seed, list);
        const second = run(seed, list);
        expect(second.printed).toEqual(first.printed);
        expect(second.log).toEqual(first.log);

        const reducer = boardReducer(table, { rig: defaultRig(table), seed });
        const again = replay(reducer, us(0), first.log);
        expect(again.state).toEqual(first.bench.board.state);
        expect(again.effects.flatMap(printedLine)).toEqual(first.printed);
      }),
      { numRuns: 30 },
    );
  });

  it('is another world from another seed', () => {
    expect(run(1, []).printed).not.toEqual(run(2, []).printed);
  });

  it('works off what a listener does after what it is at', () => {
    const bench = new Bench();
    const stop = bench.board.onPrint((line) => {
      if (line.startsWith('tell 0 dye')) bench.board.type('set lamp on');
    });
    expect(bench.type('set dye rhodamine')).toEqual([
      'tell 0 dye 02 console',
      'done set',
      'tell 0 lamp 01 console',
      'done set',
    ]);
    stop();
  });

  it('does nothing before its start and nothing after its end', () => {
    const clock = new VirtualClock();
    const board = new VirtualBoard(table, { clock, rig: defaultRig(table) });
    const printed: string[] = [];
    board.onPrint((line) => printed.push(line));
    clock.advance(us(1_000_000));
    expect(printed).toEqual([]);
    expect(board.advertising).toBe(false);
    board.start();
    board.start();
    expect(printed.filter((line) => line.includes('start')).length).toBe(table.values.length + 1);
    let closed = false;
    board.connect('a', {
      receive: () => undefined,
      closed: () => {
        closed = true;
      },
    });
    printed.length = 0;
    board.stop();
    clock.advance(us(60_000_000));
    board.type('list');
    expect(closed).toBe(true);
    expect(printed).toEqual([]);
    expect(board.connect('b', { receive: () => undefined, closed: () => undefined })).toBeUndefined();
  });

  it('tells who listens when advertising starts and stops', () => {
    const bench = new Bench({ clients: 1 });
    const heard: boolean[] = [];
    bench.board.onAdvertising((on) => heard.push(on));
    bench.connect().connection.end('terminated');
    expect(heard).toEqual([false, true]);
  });
});

function printedLine({ effect }: TimedEffect): readonly string[] {
  return effect.kind === 'print' ? [effect.line] : [];
}
