import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Phy } from '../../contract/model.ts';
import { packetTime } from '../air-time.ts';
import { payloadLimit } from './payload-limit.ts';

describe('the longest payload', () => {
  // Core Vol 6 Part B 4.5.10; by hand: 8 × (1 + 4 + 2 + n + 4 + 3) on 1M, 376 + 6 + 16 × (2 + n + 4 + 3) at S = 2.
  it.each<[Phy, number, number, number]>([
    ['1M', 251, 2120, 251],
    ['1M', 251, 328, 27],
    ['1M', 251, 1064, 119],
    ['2M', 251, 1064, 251],
    ['coded-s8', 251, 17_040, 251],
    // On the coded PHY 2704 µs are allowed whatever was agreed.
    ['coded-s8', 251, 328, 27],
    ['coded-s2', 251, 328, 136],
  ])('on %s with %i octets and %i µs is %i', (phy, octets, time, limit) => {
    expect(payloadLimit(phy, octets, time)).toBe(limit);
  });

  it('keeps to both limits, but is never below 27', () => {
    const phy = fc.constantFrom<Phy>('1M', '2M');
    fc.assert(
      fc.property(phy, fc.integer({ min: 27, max: 251 }), fc.integer({ min: 328, max: 17_040 }), (p, octets, time) => {
        const limit = payloadLimit(p, octets, time);
        expect(limit).toBeGreaterThanOrEqual(27);
        expect(limit).toBeLessThanOrEqual(octets);
        expect(packetTime(p, limit, true)).toBeLessThanOrEqual(time);
        if (limit < octets) expect(packetTime(p, limit + 1, true)).toBeGreaterThan(time);
      }),
      { numRuns: 200 },
    );
  });
});
