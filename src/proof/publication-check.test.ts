import { describe, expect, it } from 'vitest';
import { boardTable, valueOf } from '../../test/support/board-table.ts';
import { freshLink } from '../../test/support/proof-bench.ts';
import { us } from '../base/quantity.ts';
import { seededRandom } from '../base/random.ts';
import type { ValueEvent } from '../att/link.ts';
import { mustKeepSpacing, mustTellChanges } from './publication-check.ts';
import { Trial } from './trial.ts';
import type { Told } from './truth.ts';
import type { Verdict } from './verdict.ts';

const table = boardTable();
// A counter of four octets, at most ten times a second; connection events every 30 ms.
const value = valueOf(table, 'count');

type Point = readonly [ms: number, value: number];

const octets = (n: number): Uint8Array => Uint8Array.of(n, 0, 0, 0);
const changesOf = (points: readonly Point[]): readonly Told[] =>
  points.map(([ms, n], mark) => ({ at: us(ms * 1000), id: 'count', value: octets(n), cause: 'rig', mark }));
const eventsOf = (points: readonly Point[]): readonly ValueEvent[] =>
  points.map(([ms, n]) => ({
    at: us(ms * 1000),
    kind: 'notification',
    handle: value.handle,
    characteristic: undefined,
    value: octets(n),
  }));

/** The verdict at `now` over what was told and what came. */
async function judge(now: number, changes: readonly Point[], events: readonly Point[]): Promise<Verdict> {
  const trial = new Trial(table, freshLink(table), seededRandom(1));
  await trial.pass(us(now * 1000));
  const stretch = { changes: changesOf(changes), events: eventsOf(events), room: 20, patience: us(200_000) };
  mustTellChanges(trial, value, stretch);
  return trial.claims.verdict();
}

describe('changes and what was told of them', () => {
  it('agree when each comes once, in order', async () => {
    const { verdict } = await judge(
      1000,
      [
        [0, 1],
        [200, 2],
        [400, 3],
      ],
      [
        [0, 1],
        [210, 2],
        [400, 3],
      ],
    );
    expect(verdict).toBe('passed');
  });

  it('agree when changes between two values are left out: the latest wins', async () => {
    const { verdict } = await judge(
      1000,
      [
        [0, 1],
        [10, 2],
        [20, 3],
      ],
      [
        [0, 1],
        [100, 3],
      ],
    );
    expect(verdict).toBe('passed');
  });

  it('agree while the last change may still be on its way', async () => {
    expect(
      (
        await judge(
          450,
          [
            [0, 1],
            [400, 2],
          ],
          [[0, 1]],
        )
      ).verdict,
    ).toBe('passed');
    expect(
      (
        await judge(
          700,
          [
            [0, 1],
            [400, 2],
          ],
          [[0, 1]],
        )
      ).seen,
    ).toMatch(/^2 \(02 00 00 00\) has not come after 300 ms$/);
  });

  it('disagree when a value comes that never was', async () => {
    const { seen } = await judge(
      1000,
      [
        [0, 1],
        [200, 2],
      ],
      [
        [0, 1],
        [200, 7],
      ],
    );
    expect(seen).toBe('7 (07 00 00 00), which the board did not hold');
  });

  it('disagree when a value comes twice', async () => {
    const { seen } = await judge(
      1000,
      [[0, 1]],
      [
        [0, 1],
        [100, 1],
      ],
    );
    expect(seen).toBe('1 (01 00 00 00), again, with no change in between');
  });

  it('disagree when an old value comes', async () => {
    const { seen } = await judge(
      1000,
      [
        [0, 1],
        [10, 2],
      ],
      [
        [500, 1],
        [600, 2],
      ],
    );
    expect(seen).toBe('1 (01 00 00 00), 490 ms after it had changed');
  });

  it('disagree when nothing comes', async () => {
    expect((await judge(1000, [[0, 1]], [])).verdict).toBe('failed');
  });

  it('take the beginning of a long value for it, and no more than fits', () => {
    const trial = new Trial(table, freshLink(table), seededRandom(1));
    const [change] = changesOf([[0, 1]]);
    const [event] = eventsOf([[0, 1]]);
    const stretch = { changes: [change!], events: [event!], room: 3, patience: us(1000) };
    mustTellChanges(trial, value, stretch);
    expect(trial.claims.verdict().seen).toBe('4 octets');
    const short = new Trial(table, freshLink(table), seededRandom(1));
    mustTellChanges(short, value, { ...stretch, events: [{ ...event!, value: Uint8Array.of(1, 0, 0) }] });
    expect(short.claims.verdict().verdict).toBe('passed');
  });
});

describe('the spacing of values', () => {
  const spacing = (times: readonly number[]): Verdict => {
    const trial = new Trial(table, freshLink(table), seededRandom(1));
    mustKeepSpacing(trial, value, eventsOf(times.map((ms, i) => [ms, i])));
    return trial.claims.verdict();
  };

  it('is kept', () => {
    expect(spacing([0, 100, 200, 300]).verdict).toBe('passed');
    // One connection event late, and the next one in time again.
    expect(spacing([0, 100, 225, 300]).verdict).toBe('passed');
  });

  it('is broken by one pair far too close', () => {
    expect(spacing([0, 60, 200]).seen).toBe('60 ms between two');
  });

  it('is broken by many that are each a little too close', () => {
    expect(spacing([0, 80, 160, 240, 320, 400]).seen).toBe('6 values in 400 ms');
  });
});
