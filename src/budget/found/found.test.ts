import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { us } from '../../base/quantity.ts';
import { seededRandom } from '../../base/random.ts';
import { found, foundBound, meanWaitListening } from './found.ts';
import { foundDensity } from './found-density.ts';
import { runFound } from './found-run.ts';
import { heardPacket, type Advertiser, type ScanPattern } from './scan.ts';

const board = (interval: number): Advertiser => ({
  interval: us(interval),
  delay: us(10_000),
  packet: us(376),
  step: us(568),
});
const scan = (window: number, interval: number): ScanPattern => ({
  name: 'test',
  window: us(window),
  interval: us(interval),
  source: 'invented',
});

describe('waiting for the next event', () => {
  // Recomputed, not published: E[T^2] / (2 E[T]), T = interval + U(0, 10 ms).
  it.each([
    [20, 12.6667],
    [100, 52.5397],
    [1000, 502.5041],
  ])('takes %i ms of interval %f ms on average', (interval, wait) => {
    expect(meanWaitListening(board(interval * 1000)) / 1000).toBeCloseTo(wait, 4);
  });

  it('agrees with drawn intervals', () => {
    const random = seededRandom(3);
    let time = 0;
    let squares = 0;
    for (let n = 0; n < 20_000; n++) {
      const gap = 20_000 + random.unit() * 10_000;
      time += gap;
      squares += gap ** 2 / 2;
    }
    expect(squares / time / 1000).toBeCloseTo(12.667, 1);
  });
});

describe('a packet in a window', () => {
  it('must lie whole in the window of its own channel', () => {
    const pattern = scan(10_000, 10_000);
    expect(heardPacket(board(100_000), pattern, 0)).toBe(0);
    expect(heardPacket(board(100_000), pattern, 9_624)).toBe(0);
    // The packet on 37 runs over its end at 10 ms, that on 38 begins behind it.
    expect(heardPacket(board(100_000), pattern, 9_625)).toBe(1);
    expect(heardPacket(board(100_000), pattern, 10_000)).toBe(1);
    expect(heardPacket(board(100_000), scan(300, 10_000), 0)).toBe(-1);
  });
});

describe('being found, run against density', () => {
  it.each<[number, number, number]>([
    [100, 100, 100],
    [100, 30, 60],
    [250, 512, 5120],
    [1000, 30, 300],
    [152.5, 1024, 4096],
  ])('every %f ms by %i of %i ms', (interval, window, period) => {
    const advertiser = board(interval * 1000);
    const pattern = scan(window * 1000, period * 1000);
    const density = foundDensity(advertiser, pattern);
    const run = runFound(advertiser, pattern, { trials: 3000, seed: 11, limit: 100 * density.mean });
    expect(run.gaveUp).toBe(0);
    expect(Math.abs(run.mean - density.mean)).toBeLessThan(2 * run.halfWidth);
    const bound = foundBound(advertiser, pattern);
    if (bound !== undefined) expect(run.greatest).toBeLessThanOrEqual(bound);
  });

  it('is at once when somebody listens all the time', () => {
    const { mean, missed } = foundDensity(board(1_000_000), scan(4_096_000, 4_096_000));
    expect(missed[0]).toBeLessThan(0.001);
    expect(mean).toBeLessThan(1500);
  });

  it('follows a geometric law when each event meets a phase of its own', () => {
    // The delay alone runs over the scanner's whole round of 3 x 3 ms many times: phases are independent.
    const advertiser = { ...board(20_000), delay: us(9_000_000) };
    const { missed, coverage, meanMissed, meanMissedIndependent } = foundDensity(advertiser, scan(1_000, 3_000));
    expect(missed[4]).toBeCloseTo((1 - coverage) ** 5, 6);
    expect(meanMissed).toBeCloseTo(meanMissedIndependent, 4);
  });
});

describe('resonance', () => {
  const options = { trials: 200, seed: 1 };

  it('is warned of where the interval keeps step with short windows, with a better one nearby', () => {
    // 995 ms and a mean delay of 5 ms are one scan interval: the phase drifts by the delay's chance alone.
    const seen = found(board(995_000), scan(50_000, 1_000_000), options);
    expect(seen.resonance?.factor).toBeGreaterThan(2);
    const better = seen.resonance?.better;
    expect(better).toBeDefined();
    expect(foundDensity(board(better!), scan(50_000, 1_000_000)).mean).toBeLessThan(seen.mean.closed / 1.5);
  });

  it('is not where it does not', () => {
    expect(found(board(152_500), scan(512_000, 5_120_000), options).resonance).toBeUndefined();
    expect(found(board(100_000), scan(100_000, 100_000), options).resonance).toBeUndefined();
    // Each window holds an event: the board waits for the next window, and is found in it for sure.
    expect(found(board(100_000), scan(1_024_000, 4_096_000), options).resonance).toBeUndefined();
  });
});

describe('the curves of being found', () => {
  it('rise to all, and the analysis keeps to the run', () => {
    const { curve, closedCurve, gaveUp } = found(board(100_000), scan(30_000, 60_000), { trials: 2000, seed: 4 });
    expect(gaveUp).toBe(0);
    expect(curve.at(-1)!.share).toBe(1);
    expect(closedCurve.at(-1)!.share).toBeGreaterThan(0.999);
    for (const points of [curve, closedCurve]) {
      for (const [i, point] of points.entries()) {
        if (i === 0) continue;
        expect(point.timeUs).toBeGreaterThanOrEqual(points[i - 1]!.timeUs);
        expect(point.share).toBeGreaterThanOrEqual(points[i - 1]!.share);
      }
    }
    // By the middle between the second and the third event the same share is found: a standard deviation is 0.011.
    const within = curve.filter(({ timeUs }) => timeUs < 157_500).at(-1)!.share;
    expect(Math.abs(within - closedCurve[1]!.share)).toBeLessThan(0.06);
  });
});

describe('being found, in general', () => {
  it('has no negative times and is the same for the same seed', () => {
    const cases = fc.record({
      interval: fc.integer({ min: 20_000, max: 400_000 }),
      period: fc.integer({ min: 20_000, max: 400_000 }),
      share: fc.double({ min: 0.3, max: 1, noNaN: true }),
      seed: fc.nat(1000),
    });
    fc.assert(
      fc.property(cases, ({ interval, period, share, seed }) => {
        const pattern = scan(Math.max(2500, Math.floor(period * share)), period);
        const run = runFound(board(interval), pattern, { trials: 20, seed, limit: 1e9 });
        expect(run.least).toBeGreaterThan(0);
        expect(run).toEqual(runFound(board(interval), pattern, { trials: 20, seed, limit: 1e9 }));
        const coverage = foundDensity(board(interval), pattern).coverage;
        expect(coverage).toBeGreaterThan(0);
        expect(coverage).toBeLessThanOrEqual(1);
      }),
      { numRuns: 20 },
    );
  });
});
