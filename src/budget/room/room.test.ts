import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { us } from '../../base/quantity.ts';
import type { Advertiser, ScanPattern } from '../found/scan.ts';
import { runAdvertising } from './advertising-run.ts';
import {
  alohaThroughput,
  eventCollision,
  meanForSurvival,
  mostAdvertisers,
  mostConnections,
  survival,
} from './collision.ts';
import { planRoom } from './plan.ts';
import { room } from './room.ts';
import { TimeQueue } from './time-queue.ts';

const board: Advertiser = { interval: us(100_000), delay: us(10_000), packet: us(376), step: us(568) };
const listening: ScanPattern = { name: 'test', window: us(100_000), interval: us(100_000), source: 'invented' };
const question = { advertising: 30, connected: 30, scan: listening, survival: 0.8, collision: 0.1, seed: 1 };
const link = { interval: us(30_000), busy: 676 };

describe('collisions, closed form', () => {
  // Abramson 1970, as in many lecture notes: pure ALOHA carries at most 1 / (2e) = 0.1839 at G = 0.5.
  it('has the maximum of pure ALOHA', () => {
    expect(alohaThroughput(0.5)).toBeCloseTo(1 / (2 * Math.E), 15);
    expect(alohaThroughput(1)).toBeCloseTo(0.1353352832366127, 12);
    for (const load of [0.1, 0.4, 0.6, 2]) expect(alohaThroughput(load)).toBeLessThan(alohaThroughput(0.5));
  });

  // Recomputed, not published: (1 - 2 * 376 / 105000)^99 = 0.490868; the Poisson form gives 0.492122.
  it('lets half the packets of 100 boards at 100 ms through', () => {
    expect(survival(376, 105_000, 99)).toBeCloseTo(0.490868, 6);
    expect(alohaThroughput((99 * 376) / 105_000) / ((99 * 376) / 105_000)).toBeCloseTo(0.492122, 6);
  });

  it('inverts itself: most boards and shortest interval', () => {
    const n = mostAdvertisers(376, 105_000, 0.8);
    expect(survival(376, 105_000, n - 1)).toBeGreaterThanOrEqual(0.8);
    expect(survival(376, 105_000, n)).toBeLessThan(0.8);
    const m = mostConnections(676, 30_000, 0.1);
    expect(eventCollision(676, 30_000, m - 1)).toBeLessThanOrEqual(0.1);
    expect(eventCollision(676, 30_000, m)).toBeGreaterThan(0.1);
    expect(survival(376, meanForSurvival(376, 40, 0.8), 40)).toBeCloseTo(0.8, 12);
  });

  it('gets no better with more boards', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1000 }), fc.integer({ min: 20_000, max: 1_000_000 }), (n, mean) => {
        expect(survival(376, mean, n + 1)).toBeLessThanOrEqual(survival(376, mean, n));
        expect(eventCollision(676, mean, n + 1)).toBeGreaterThanOrEqual(eventCollision(676, mean, n));
      }),
      { numRuns: 100 },
    );
  });
});

describe('the queue of times', () => {
  it('gives the earliest, as sorting does', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(50), fc.array(fc.integer({ min: 1, max: 50 }), { maxLength: 8 })), { minLength: 1 }),
        (parties) => {
          const expected = parties
            .flatMap(([start, gaps]) => gaps.reduce((times, gap) => [...times, times.at(-1)! + gap], [start]))
            .sort((a, b) => a - b);
          const queue = new TimeQueue(Float64Array.from(parties, ([start]) => start));
          const done = parties.map(() => 0);
          const seen: number[] = [];
          while (queue.time < Infinity) {
            seen.push(queue.time);
            const gap = parties[queue.party]![1][done[queue.party]!++];
            queue.later(gap === undefined ? Infinity : queue.time + gap);
          }
          expect(seen).toEqual(expected);
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('room, run against closed form', () => {
  it.each([2, 30, 100])('loses the same share of packets with %i advertisers', (advertising) => {
    const seen = room(board, link, { ...question, advertising, connected: 0 }).survival;
    expect(Math.abs(seen.difference)).toBeLessThan(2 * seen.halfWidth!);
  });

  it.each([2, 30, 100])('meets as often with %i connections', (connected) => {
    const seen = room(board, link, { ...question, advertising: 1, connected }).collision;
    expect(Math.abs(seen.difference)).toBeLessThan(2 * seen.halfWidth!);
  });

  it('connects one board at once to a client that listens all the time', () => {
    const { joined } = room(board, link, { ...question, advertising: 1 });
    // Within the first interval it begins; one packet, the space, and the request. The channel may just change.
    expect(joined.all).toBeLessThan(100_000 + 376 + 150 + 352 + 110_000);
    expect(joined.missing).toBe(0);
  });

  it('connects everybody in the end, later where there are more', () => {
    const few = room(board, link, { ...question, advertising: 5 }).joined;
    const many = room(board, link, { ...question, advertising: 200 }).joined;
    expect(few.missing + many.missing).toBe(0);
    expect(many.all).toBeGreaterThan(few.all);
    expect(many.half).toBeLessThanOrEqual(many.p95);
    expect(many.p95).toBeLessThanOrEqual(many.all);
  });

  it('connects nobody where nobody listens long enough, and says so', () => {
    const deaf = { ...listening, window: us(300) };
    expect(room(board, link, { ...question, advertising: 3, scan: deaf }).joined).toMatchObject({
      missing: 3,
      all: Number.NaN,
    });
  });

  it('runs a given room time, packet by packet and event by event', () => {
    const { long } = room(board, link, { ...question, time: us(60_000_000) });
    // 30 boards, an event of three packets every 105 ms on average; 30 connections, an event every 30 ms.
    expect(long!.packets / ((30 * 3 * 60_000) / 105)).toBeCloseTo(1, 1);
    expect(long!.events / ((30 * 60_000) / 30)).toBeCloseTo(1, 2);
    expect(Math.abs(long!.survival.difference)).toBeLessThan(0.02);
    expect(room(board, link, question).long).toBeUndefined();
  });

  it('has a curve that falls, with runs beside it', () => {
    const { curve } = room(board, link, question);
    for (const [i, point] of curve.entries()) {
      if (i > 0) {
        expect(point.survival).toBeLessThan(curve[i - 1]!.survival);
        expect(point.collision).toBeGreaterThan(curve[i - 1]!.collision);
      }
      if (point.survivalRun !== undefined) expect(Math.abs(point.survivalRun - point.survival)).toBeLessThan(0.05);
    }
    expect(curve.filter(({ survivalRun }) => survivalRun !== undefined).length).toBeGreaterThan(5);
  });

  it('is the same for the same seed', () => {
    const once = (seed: number) =>
      runAdvertising(board, {
        boards: 20,
        spread: us(1_000_000),
        duration: us(5_000_000),
        scan: listening,
        connectionInterval: us(30_000),
        seed,
      });
    expect(once(5)).toEqual(once(5));
    expect(once(5)).not.toEqual(once(6));
  });

  // Gomez, Oller, Paradells, Sensors 2012, 12(9), 11734: 5,917 peripherals of 676 µs each in 4 s.
  it('lets one central serve the published 5,917', () => {
    const slow = room(board, { interval: us(4_000_000), busy: 676 }, { ...question, advertising: 1, connected: 1 });
    expect(slow.mostOfOneCentral).toBe(5917);
  });
});

describe('the plan for a room', () => {
  const connectionInterval = { min: us(30_000), max: us(30_000) };
  const plan = (boards: number, nameTemplate = 'Tank {unit}') =>
    planRoom({ boards, advertiser: board, connectionInterval, nameTemplate, survival: 0.8 });

  it('names the boards, and asks for a unit where there is none', () => {
    expect(plan(3).names).toEqual(['Tank 01', 'Tank 02', 'Tank 03']);
    expect(plan(100).names.at(-1)).toBe('Tank 100');
    expect(plan(3, 'Tank').names).toEqual([]);
    expect(plan(3, 'Tank').advice.join()).toContain('{unit}');
  });

  it('gives an interval at which all survive, or groups that do', () => {
    const { advertisingInterval, groupSize, groups } = plan(100);
    expect(survival(376, advertisingInterval! + 5000, 99)).toBeGreaterThanOrEqual(0.8);
    expect(survival(376, advertisingInterval! + 5000 - 625, 99)).toBeLessThan(0.8);
    expect(survival(376, 105_000, groupSize - 1)).toBeGreaterThanOrEqual(0.8);
    expect(groupSize * groups).toBeGreaterThanOrEqual(100);
  });

  it('deals out neighbouring connection intervals', () => {
    expect(plan(2).connectionIntervals).toEqual([30_000, 31_250, 32_500, 33_750, 35_000]);
  });
});
