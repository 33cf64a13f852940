import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lints } from '../../../test/support/lints.ts';
import { showTime, us } from '../../base/quantity.ts';
import { radio } from '../../contract/rules/sample.ts';
import { leastTimeout, nearestAllowed, radioLimits, radioProblems, type RadioParameters } from './connection-limits.ts';

const plain: RadioParameters = {
  advertisingInterval: us(100_000),
  interval: us(30_000),
  latency: 0,
  timeout: us(4_000_000),
  mtu: 23,
  dataLength: 27,
  packetErrorRate: 0,
};
const keys = (change: Partial<RadioParameters>) => radioProblems({ ...plain, ...change }).map(({ key }) => key);

describe('supervision timeout', () => {
  // Core Vol 6 Part B 4.5.2: larger than, not equal. Tutorials drop the factor 2.
  it.each<[number, number, number, boolean]>([
    [7_500, 0, 100_000, true],
    [50_000, 4, 500_000, false],
    [50_000, 4, 510_000, true],
    [50_000, 4, 490_000, false],
    // Without the factor 2 this would do: 250 ms < 400 ms.
    [50_000, 4, 400_000, false],
    [4_000_000, 0, 8_000_000, false],
    [4_000_000, 0, 8_010_000, true],
    [4_000_000, 3, 32_000_000, false],
    [4_000_000, 2, 32_000_000, true],
    [31_250, 499, 32_000_000, true],
    [32_500, 499, 32_000_000, false],
  ])('interval %d µs, latency %d, timeout %d µs: %s', (interval, latency, timeout, stands) => {
    expect(keys({ interval: us(interval), latency, timeout: us(timeout) })).toEqual(stands ? [] : ['timeout']);
  });

  it('is stricter than the clause on latency at an exact quotient', () => {
    // Latency at most timeout / (2 interval) - 1 holds with equality, the timeout itself does not.
    const [interval, latency, timeout] = [50_000, 4, 500_000];
    expect(latency).toBeLessThanOrEqual(timeout / (2 * interval) - 1);
    expect(leastTimeout(us(interval), latency)).toBe(timeout);
    expect(keys({ interval: us(interval), latency, timeout: us(timeout) })).toEqual(['timeout']);
  });

  it('says the same as the contract’s own rules', () => {
    const parameters = fc.record({
      steps: fc.integer({ min: 1, max: 3300 }),
      latency: fc.integer({ min: 0, max: 520 }),
      centiseconds: fc.integer({ min: 5, max: 3300 }),
    });
    fc.assert(
      fc.property(parameters, ({ steps, latency, centiseconds }) => {
        const interval = us(steps * 1250);
        const timeout = us(centiseconds * 10_000);
        const text = `connection: { interval: ${showTime(interval)}, latency: ${latency}, timeout: ${showTime(timeout)} }`;
        const errors = lints(radio(text)).filter(({ severity }) => severity === 'error');
        expect(errors.length > 0).toBe(keys({ interval, latency, timeout }).length > 0);
      }),
      { numRuns: 100 },
    );
  });
});

describe('ranges of the parameters', () => {
  it.each<[string, Partial<RadioParameters>, string]>([
    ['a connection interval below 7.5 ms', { interval: us(6_250) }, 'interval'],
    ['a connection interval between steps', { interval: us(10_500) }, 'interval'],
    ['an advertising interval below 20 ms', { advertisingInterval: us(19_375) }, 'advertise.interval'],
    ['an advertising interval between steps', { advertisingInterval: us(100_001) }, 'advertise.interval'],
    ['an MTU below 23', { mtu: 22 }, 'mtu'],
    ['an MTU above 517', { mtu: 518 }, 'mtu'],
    ['a data length of 252', { dataLength: 252 }, 'data-length'],
    ['a latency of 500', { latency: 500, interval: us(7_500), timeout: us(32_000_000) }, 'latency'],
    ['a share of losses above the bound', { packetErrorRate: 0.95 }, 'packet-error-rate'],
    ['a share of losses that is no number', { packetErrorRate: Number.NaN }, 'packet-error-rate'],
  ])('does not take %s, and says by which section', (_, change, key) => {
    const found = radioProblems({ ...plain, ...change });
    expect(found.map((problem) => problem.key)).toEqual([key]);
    expect(found[0]!.source).not.toBe('');
  });

  it('offers a value that stands', () => {
    for (const key of Object.keys(radioLimits) as (keyof typeof radioLimits)[]) {
      fc.assert(
        fc.property(fc.double({ min: -1e12, max: 1e12, noNaN: true }), (value) => {
          const { least, most, step } = radioLimits[key];
          const use = nearestAllowed(key, value);
          expect(use).toBeGreaterThanOrEqual(least);
          expect(use).toBeLessThanOrEqual(most);
          expect(use % step).toBe(0);
        }),
        { numRuns: 50 },
      );
    }
  });
});
