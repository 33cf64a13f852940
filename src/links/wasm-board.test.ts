import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import { VirtualBoard } from '../board/virtual-board.ts';
import type { Rig } from '../board/model.ts';
import { planProof } from '../proof/plan.ts';
import { isProved, runProof } from '../proof/run.ts';
import { check } from '../table/check.ts';
import type { Table } from '../table/model.ts';
import waveTankRig from '../../examples/wave-tank/rig.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { virtualRadio } from './virtual-radio.ts';
import { EngineBoard, makeBoard } from './wasm-board.ts';

const waveTank = check(readFileSync(fileURLToPath(new URL('../../examples/wave-tank/contract.yaml', import.meta.url))))
  .value!.table;

async function engineBoard(table: Table, clock: VirtualClock, rig?: Rig<unknown>): Promise<EngineBoard> {
  const made = await makeBoard(table, { clock, rig });
  if (!made.ok) throw new Error(made.why);
  if (!(made.board instanceof EngineBoard)) throw new Error(made.board.name);
  return made.board;
}

/** A controller that is not there. */
const nowhere = { send: () => undefined, onOctets: () => undefined, onClose: () => undefined };

describe('the C runtime in WebAssembly', () => {
  it.each([
    ['of every kind of value', boardTable(), 0],
    ['of the wave tank, with one packet in twenty lost', waveTank, 0.05],
  ])('is proved over the virtual radio with the table %s', { timeout: 60_000 }, async (_, table, loss) => {
    const clock = new VirtualClock();
    const link = virtualRadio(table, await engineBoard(table, clock), { clock, loss });
    // What was lost comes late, so that two values seem nearer than they were sent: not a matter of the board.
    const cases = planProof(table).filter(({ id }) => loss === 0 || !id.endsWith('/rate'));
    const result = await runProof(link, table, { cases });
    expect(result.results.filter(({ verdict }) => verdict !== 'passed' && verdict !== 'not-reachable')).toEqual([]);
    expect(isProved(result)).toBe(true);
    expect(result.counts.passed).toBeGreaterThan(300);
  });

  it('tells what the virtual board tells of the same world', async () => {
    const lines = async (make: (clock: VirtualClock, hear: (line: string) => void) => Promise<void>) => {
      const clock = new VirtualClock();
      const heard: string[] = [];
      await make(clock, (line) => heard.push(line));
      clock.advance(us(20_000_000));
      return heard;
    };
    const model = await lines((clock, hear) => {
      const board = new VirtualBoard(waveTank, { clock, rig: waveTankRig });
      board.onPrint(hear);
      board.start();
      return Promise.resolve();
    });
    const engine = await lines(async (clock, hear) => {
      const board = await engineBoard(waveTank, clock, waveTankRig);
      board.console.onLine(hear);
      board.start(nowhere);
    });
    expect(model.length).toBeGreaterThan(100);
    expect(engine).toEqual(model);
  });

  it('says that its world has stopped, and lives on', async () => {
    const clock = new VirtualClock();
    const rig: Rig<number> = {
      every: us(1000),
      start: () => 0,
      step: (steps, world) => {
        world.set(steps < 2 ? 'count' : 'no-such-value', steps + 1);
        return steps + 1;
      },
    };
    const board = await engineBoard(boardTable(), clock, rig);
    const heard: string[] = [];
    board.console.onLine((line) => heard.push(line));
    board.start(nowhere);
    clock.advance(us(1_000_000));
    board.console.send('get count');
    clock.advance(us(1000));
    expect(heard.slice(-5)).toEqual([
      'tell 1 count 01000000 rig',
      'tell 2 count 02000000 rig',
      expect.stringMatching(/^note 3 rig-stopped no value no-such-value/),
      'value 1000 count 02000000 2',
      'done get',
    ]);
  });

  it('refuses what a value must not be, and holds what it was', async () => {
    const clock = new VirtualClock();
    const table = boardTable();
    const board = await engineBoard(table, clock);
    const speed = table.values.find(({ id }) => id === 'speed')!.index;
    expect(board.set(speed, Uint8Array.of(1, 0))).toBeUndefined();
    board.start(nowhere);
    expect(board.set(speed, Uint8Array.of(1, 0))).toBe('done');
    expect(board.set(speed, Uint8Array.of(0x91, 1))).toBe('out-of-range');
    expect(board.set(speed, Uint8Array.of(1))).toBe('wrong-length');
    expect(board.set(speed, new Uint8Array(70_000))).toBe('wrong-length');
    expect(board.set(table.values.length, Uint8Array.of(1))).toBe('no-such-value');
    expect(board.get(speed)).toEqual(Uint8Array.of(1, 0));
  });

  it('is quiet once it is stopped', async () => {
    const clock = new VirtualClock();
    const table = boardTable();
    const board = await engineBoard(table, clock);
    const link = virtualRadio(table, board, { clock });
    expect((await link.connect()).ok).toBe(true);
    board.stop();
    const heard: string[] = [];
    board.console.onLine((line) => heard.push(line));
    board.console.send('list');
    clock.advance(us(60_000_000));
    expect(heard).toEqual([]);
    expect(board.get(0)).toEqual(new Uint8Array(0));
  });
});
