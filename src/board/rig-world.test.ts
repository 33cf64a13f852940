import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { us } from '../base/quantity.ts';
import { boardReducer } from './board-reducer.ts';
import type { Rig, World } from './model.ts';

/** A rig that does the same in every step. */
function doing(step: (world: World, count: number) => void): Rig<number> {
  return {
    every: us(10_000),
    start: () => 0,
    step(count, world) {
      step(world, count);
      return count + 1;
    },
  };
}

describe('the world of a rig', () => {
  it('holds the board’s values, and parts of them', () => {
    const seen: unknown[] = [];
    const rig = doing((world) => {
      seen.push(world.number('speed'), world.number('setup.points'), world.number('samples.3'), world.text('note'));
    });
    const bench = new Bench({ rig });
    bench.type('set samples 1, 2, 3, -4');
    bench.pass(10);
    expect(seen).toEqual([0.5, 2, -4, 'ready']);
    bench.type('set speed 3');
    bench.pass(10);
    expect(seen[4]).toBe(3);
  });

  it('changes them one at a time, and sees what it changed', () => {
    const rig = doing((world) => {
      world.set('count', world.number('count') + 1);
      world.set('count', world.number('count') + 1);
    });
    const bench = new Bench({ rig });
    bench.printed();
    bench.pass(10);
    expect(bench.printed()).toEqual(['tell 10 count 01000000 rig', 'tell 10 count 02000000 rig']);
  });

  it('knows the time since power-up at the end of each step', () => {
    const times: number[] = [];
    const rig: Rig<null> = {
      every: us(25_000),
      start: () => null,
      step(...[, , elapsed]) {
        times.push(elapsed);
        return null;
      },
    };
    new Bench({ rig }).pass(80);
    expect(times).toEqual([25_000, 50_000, 75_000]);
  });

  it.each([
    ['an id that is not there', (world: World) => world.number('sped'), 'no value sped; did you mean speed?'],
    ['a part that is not there', (world: World) => world.number('setup.gian'), 'there is no part gian'],
    ['a text that is none', (world: World) => world.text('speed'), 'speed is no text'],
    ['a mistake of its own', () => void JSON.parse('{'), "Expected property name or '}'"],
  ])('stops for %s, and the board goes on', (_, step, message) => {
    const bench = new Bench({ rig: doing(step) });
    const client = bench.connect();
    bench.printed();
    bench.pass(100);
    const lines = bench.printed();
    expect(lines).toHaveLength(1);
    expect(lines[0]).toContain(`note 10 rig-stopped ${message}`);
    expect(client.write('speed', '0000')).toEqual(['13']);
  });

  it('may fail to start, and the board runs without it', () => {
    const rig: Rig<never> = {
      every: us(10_000),
      start() {
        throw new Error('no paddle');
      },
      step: (state) => state,
    };
    const bench = new Bench({ rig });
    expect(bench.printed()).toContain('note 0 rig-stopped no paddle');
    bench.pass(100);
    expect(bench.connect().read('speed')).toEqual(['0b3200']);
  });

  it('makes up for time that came late, in slices of 1000 steps', () => {
    let steps = 0;
    const rig = doing(() => {
      steps += 1;
    });
    const reducer = boardReducer(boardTable(), { rig, seed: 1 });
    const late = us(15_000_000);
    const first = reducer.step(reducer.start(us(0)).state, { kind: 'time' }, late);
    expect([steps, first.wakeAt]).toEqual([1000, 10_010_000]);
    const second = reducer.step(first.state, { kind: 'time' }, late);
    expect([steps, second.wakeAt]).toEqual([1500, 15_010_000]);
  });
});
