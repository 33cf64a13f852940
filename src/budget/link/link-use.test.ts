import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plainConnection as plain } from '../../../test/support/budget-bench.ts';
import { us } from '../../base/quantity.ts';
import type { Connection } from '../air/connection.ts';
import { fragments } from '../air/fragment.ts';
import { pairTime } from '../../radio/air-time.ts';
import { packing } from '../air/packing.ts';
import { runLink } from './link-run.ts';
import { linkUse } from './link-use.ts';
import type { Stream } from './stream.ts';

function stream(octets: number, spacing: number, connection = plain): Stream {
  const sent = Math.min(octets, connection.mtu - 3);
  const payloads = fragments(sent + 3, connection.dataLength);
  const pairs = payloads.map((payload) => pairTime(connection.phy, 0, payload, false));
  return {
    id: `every-${spacing}`,
    kind: 'notification',
    octets,
    sent,
    spacing: us(spacing),
    bounded: true,
    steady: true,
    payloads,
    pairs,
    time: us(pairs.reduce((sum, pair) => sum + pair, 0)),
  };
}

describe('use of the link', () => {
  it('is time by spacing: 676 µs every 6.76 ms is a tenth', () => {
    const use = linkUse(plain, [stream(20, 6760)]);
    expect(use.demand).toBeCloseTo(0.1, 12);
    expect(use.carries).toBe(true);
    // 676 / (1 - 0.1) is below the shortest interval there is.
    expect(use.intervals).toEqual({ shortest: 7500, longest: 4_000_000 });
  });

  it('names the characteristic that takes the most, and the shortest interval that carries all', () => {
    const streams = [stream(20, 700), stream(1, 100_000)];
    const use = linkUse(plain, streams);
    expect(use.blame).toBe('every-700');
    const shortest = use.intervals!.shortest;
    expect(linkUse({ ...plain, interval: shortest }, streams).carries).toBe(true);
    expect(linkUse({ ...plain, interval: us(shortest - 1250) }, streams).carries).toBe(false);
  });

  it('says when nothing carries it', () => {
    const use = linkUse(plain, [stream(20, 600)]);
    expect(use).toMatchObject({ carries: false, intervals: undefined });
    expect(use.advice.join()).toContain('no connection interval');
  });

  it('keeps a limit of pairs an event by a longest interval', () => {
    const use = linkUse({ ...plain, mostPairs: 2 }, [stream(20, 10_000)]);
    expect(use.intervals?.longest).toBe(20_000);
    expect(use.carries).toBe(false);
  });

  it('advises what to change for a cut and a broken value', () => {
    const long = { ...plain, mtu: 100 };
    expect(linkUse(long, [stream(60, 100_000, long)]).advice.join()).toContain('data-length: 67');
    expect(linkUse(plain, [stream(60, 100_000)]).advice.join()).toContain('mtu: 63');
    expect(linkUse(plain, [stream(60, 100_000)]).smallestMtu).toBe(63);
  });

  it('rises with every rate', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1000, max: 1_000_000 }), { minLength: 1, maxLength: 5 }),
        fc.nat(4),
        (spacings, which) => {
          const before = linkUse(
            plain,
            spacings.map((spacing) => stream(20, spacing)),
          );
          const faster = spacings.map((spacing, i) => (i === which % spacings.length ? spacing / 2 : spacing));
          const after = linkUse(
            plain,
            faster.map((spacing) => stream(20, spacing)),
          );
          expect(after.demand).toBeGreaterThan(before.demand);
          expect(before.busy).toBeGreaterThan(0);
          if (after.carries) expect(before.carries).toBe(true);
        },
      ),
      { numRuns: 100 },
    );
  });
});

describe('use of the link, run against closed form', () => {
  it('fills the same share of time', () => {
    const streams = [stream(20, 100_003), stream(4, 50_021), stream(12, 1_000_033)];
    const use = linkUse(plain, streams);
    const shares = Array.from({ length: 20 }, (_, seed) => {
      const run = runLink(
        plain,
        streams.map(({ payloads, spacing }) => ({
          direction: 'up',
          payloads,
          arrivals: { kind: 'every', period: spacing },
        })),
        { duration: us(60_000_000), seed },
      );
      return run.busy / run.duration;
    });
    const mean = shares.reduce((a, b) => a + b) / shares.length;
    expect(mean).toBeCloseTo(use.busy, 3);
  });

  it.each<[string, Partial<Connection>]>([
    ['default packets', {}],
    ['several packets a message', { mtu: 100 }],
    ['packets of two lengths over the end of an event', { mtu: 24, interval: us(8750) }],
    ['two packets an event', { mostPairs: 2 }],
    ['full packets on 2M', { phy: '2M', mtu: 247, dataLength: 251 }],
  ])('reaches the same throughput with %s', (_, change) => {
    const connection = { ...plain, ...change };
    const closed = packing(connection);
    const run = runLink(connection, [{ direction: 'up', payloads: closed.payloads, arrivals: { kind: 'always' } }], {
      duration: us(1000 * connection.interval),
      seed: 1,
    });
    // Without loss there is no chance in it; the last message may be under way.
    expect(Math.abs(run.sources[0]!.delivered - closed.messagesPerEvent * 1000)).toBeLessThanOrEqual(1);
    const down = runLink(connection, [{ direction: 'down', payloads: closed.payloads, arrivals: { kind: 'always' } }], {
      duration: us(1000 * connection.interval),
      seed: 1,
    });
    expect(Math.abs(down.sources[0]!.delivered - closed.messagesPerEvent * 1000)).toBeLessThanOrEqual(1);
  });

  it('reaches the same throughput with loss, within three standard deviations', () => {
    const connection = { ...plain, packetErrorRate: 0.02 };
    const closed = packing(connection);
    const events = 20_000;
    const run = runLink(connection, [{ direction: 'up', payloads: closed.payloads, arrivals: { kind: 'always' } }], {
      duration: us(events * connection.interval),
      seed: 5,
    });
    // The number of pairs before the first lost one has a deviation of at most its mean: geometric.
    const allowed = (3 * closed.messagesPerEvent) / Math.sqrt(events);
    expect(Math.abs(run.sources[0]!.delivered / events - closed.messagesPerEvent)).toBeLessThan(allowed);
  });

  it('is the same for the same seed, and never delivers before it came', () => {
    const once = (seed: number) =>
      runLink(
        { ...plain, packetErrorRate: 0.1, latency: 2 },
        [
          { direction: 'up', payloads: [27, 4], arrivals: { kind: 'random', mean: us(40_000) } },
          { direction: 'down', payloads: [9], arrivals: { kind: 'random', mean: us(90_000) } },
        ],
        { duration: us(20_000_000), seed },
      );
    expect(once(3)).toEqual(once(3));
    expect(once(3)).not.toEqual(once(4));
    const run = once(3);
    for (const { arrived, delivered, delays } of run.sources) {
      expect(delivered).toBeLessThanOrEqual(arrived);
      expect(delays.every((delay) => delay > 0)).toBe(true);
    }
    for (const { anchor, packets } of run.trace) {
      let end = 0;
      for (const packet of packets) {
        expect(packet.start).toBeGreaterThanOrEqual(end === 0 ? anchor : end + 150);
        end = packet.start + packet.time;
      }
      expect(end + 150).toBeLessThanOrEqual(anchor + 30_000);
    }
  });
});
