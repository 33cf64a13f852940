import { describe, expect, it } from 'vitest';
import { us } from '../../base/quantity.ts';
import { VirtualClock } from '../../base/clock.ts';
import type { Observation } from '../../ledger/observation.ts';
import { boardTable } from '../../../test/support/board-table.ts';
import { observedSource } from './observed-source.ts';
import { RemoteConsole } from './remote-console.ts';
import { serialBoard } from './serial-board.ts';

describe('a console that the window holds', () => {
  it('keeps what came before anybody listened, the newest lines of a flood', () => {
    const console = new RemoteConsole(() => undefined);
    console.take(Array.from({ length: 3000 }, (_, i) => `line ${i}`));
    const heard: string[] = [];
    const stop = console.onLine((line) => heard.push(line));
    expect([heard.length, heard[0]]).toEqual([2000, 'line 1000']);
    console.take(['next']);
    stop();
    console.take(['late']);
    expect(heard.at(-1)).toBe('next');
  });

  it('is a board whose clock goes on between its lines, and which is asked for what it holds', async () => {
    const clock = new VirtualClock();
    const sent: string[] = [];
    const console = new RemoteConsole((line) => sent.push(line));
    const observed: Observation[] = [];
    const table = boardTable();
    const open = observedSource(serialBoard(table, console, clock), table, clock, (one) => observed.push(one));
    const lines: string[] = [];
    const source = open({
      onLine: (line) => lines.push(line),
      onAdvertising: () => undefined,
      onCrossed: () => undefined,
    });
    expect(sent).toEqual(table.values.map(({ id }) => `get ${id}`));
    console.take(['tell 5000 speed 0100 rig', 'noise']);
    expect(lines).toEqual(['tell 5000 speed 0100 rig', 'noise']);
    clock.advance(us(2_500_000));
    expect(source.ms()).toBe(7500);
    expect(sent.filter((line) => line === 'time')).toHaveLength(5);
    expect(observed.filter(({ kind }) => kind === 'typed')).toHaveLength(sent.length);
    expect(await source.link.connect()).toMatchObject({ ok: false, failure: { kind: 'not-reachable' } });
    source.stop();
    clock.advance(us(60_000_000));
    console.take(['tell 9000 speed 0200 rig']);
    expect(sent.filter((line) => line === 'time')).toHaveLength(5);
    expect(lines).toHaveLength(2);
  });
});
