import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plainConnection as plain } from '../../../test/support/budget-bench.ts';
import { us } from '../../base/quantity.ts';
import type { Connection } from '../air/connection.ts';
import { runLink } from '../link/link-run.ts';
import { summarise } from '../statistics.ts';
import { chanceWithin, meanOf, quantile } from './mixture.ts';
import { transferDelay } from './transfer.ts';

describe('delay of one message, closed form', () => {
  it('lies evenly between the packet and an interval more', () => {
    const delay = transferDelay(plain, 'up', [27]);
    expect(delay.pieces).toEqual([{ start: 296, weight: 1 }]);
    expect(meanOf(delay)).toBe(15_296);
    expect(quantile(delay, 0.95)).toBeCloseTo(296 + 28_500, 2);
  });

  it('waits up to latency + 1 intervals for a sleeping board, but a board with news wakes', () => {
    const sleepy = { ...plain, latency: 4 };
    expect(quantile(transferDelay(sleepy, 'down', [27]), 1)).toBeCloseTo(5 * 30_000 + 296, 2);
    expect(quantile(transferDelay(sleepy, 'up', [27]), 1)).toBeCloseTo(30_296, 2);
  });

  it('adds an interval for each loss: geometric', () => {
    // A notification needs the poll and itself: each event succeeds with 0.81.
    const { pieces } = transferDelay({ ...plain, packetErrorRate: 0.1 }, 'up', [27]);
    expect(pieces[0]?.weight).toBeCloseTo(0.81, 12);
    expect(pieces[1]?.weight).toBeCloseTo(0.19 * 0.81, 12);
    // A write needs only itself to reach the board.
    const down = transferDelay({ ...plain, packetErrorRate: 0.1 }, 'down', [27]).pieces;
    expect(down[0]?.weight).toBeCloseTo(0.9, 12);
    expect(down[1]?.weight).toBeCloseTo(0.09, 12);
  });

  it('sends the packets of one message in one event, if they fit', () => {
    expect(transferDelay(plain, 'up', [27, 27, 10]).pieces).toEqual([{ start: 676 + 676 + 160, weight: 1 }]);
    expect(transferDelay({ ...plain, mostPairs: 2 }, 'up', [27, 27, 10]).pieces).toEqual([
      { start: 30_000 + 160, weight: 1 },
    ]);
  });

  it('is empty when a packet is longer than the interval', () => {
    expect(transferDelay({ ...plain, phy: 'coded-s8', interval: us(7500) }, 'up', [251]).pieces).toEqual([]);
  });

  it('is a distribution, has no negative times, and gets no better by loss or latency', () => {
    const cases = fc.record({
      steps: fc.integer({ min: 6, max: 80 }),
      latency: fc.integer({ min: 0, max: 6 }),
      p: fc.double({ min: 0, max: 0.5, noNaN: true }),
      payloads: fc.array(fc.integer({ min: 1, max: 27 }), { minLength: 1, maxLength: 6 }),
      direction: fc.constantFrom<'up' | 'down'>('up', 'down'),
    });
    fc.assert(
      fc.property(cases, ({ steps, latency, p, payloads, direction }) => {
        const connection = { ...plain, interval: us(steps * 1250), latency, packetErrorRate: p };
        const delay = transferDelay(connection, direction, payloads);
        const total = delay.pieces.reduce((sum, { weight }) => sum + weight, 0);
        expect(total).toBeCloseTo(1, 9);
        expect(delay.pieces.every(({ start, weight }) => start > 0 && weight >= 0)).toBe(true);
        expect(meanOf(delay)).toBeGreaterThanOrEqual(
          meanOf(transferDelay({ ...connection, packetErrorRate: 0, latency: 0 }, direction, payloads)) - 1e-6,
        );
        expect(quantile(delay, 0.5)).toBeLessThanOrEqual(quantile(delay, 0.95));
      }),
      { numRuns: 100 },
    );
  });
});

describe('delay, run against closed form', () => {
  // Each run is held to its own confidence interval, doubled, so that one seed in many thousand would fail by chance.
  it.each<[string, Partial<Connection>, 'up' | 'down', readonly number[]]>([
    ['a notification without loss', {}, 'up', [27]],
    ['a notification with loss', { packetErrorRate: 0.2 }, 'up', [27]],
    ['a long notification with loss', { packetErrorRate: 0.1 }, 'up', [27, 27, 27, 5]],
    ['a long notification, two packets an event', { packetErrorRate: 0.1, mostPairs: 2 }, 'up', [27, 27, 27, 5]],
    ['a write without loss', {}, 'down', [12]],
    ['a write to a sleeping board', { latency: 3 }, 'down', [12]],
    ['a write to a sleeping board with loss', { latency: 3, packetErrorRate: 0.2 }, 'down', [12]],
    ['a long write to a sleeping board with loss', { latency: 2, packetErrorRate: 0.15 }, 'down', [27, 27, 9]],
  ])('%s', (_, change, direction, payloads) => {
    const connection = { ...plain, ...change };
    const closed = transferDelay(connection, direction, payloads);
    const apart = us(40 * connection.interval * (connection.latency + 1));
    const run = runLink(connection, [{ direction, payloads, arrivals: { kind: 'apart', least: apart, more: apart } }], {
      duration: us(3000 * 1.5 * apart),
      seed: 7,
    });
    const { delays } = run.sources[0]!;
    const seen = summarise(delays);
    expect(seen.count).toBeGreaterThan(2800);
    expect(Math.abs(seen.mean - meanOf(closed))).toBeLessThan(2 * seen.halfWidth);
    expect(seen.least).toBeGreaterThanOrEqual(closed.pieces[0]!.start);
    for (const p of [0.25, 0.5, 0.95]) {
      const share = delays.filter((delay) => delay <= quantile(closed, p)).length / delays.length;
      expect(Math.abs(share - p)).toBeLessThan(2 * 1.96 * Math.sqrt((p * (1 - p)) / delays.length));
      expect(chanceWithin(closed, quantile(closed, p))).toBeCloseTo(p, 3);
    }
  });
});
