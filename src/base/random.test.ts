import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from './random.ts';

describe('seeded random', () => {
  // The published generator written down a second time, in 64-bit arithmetic: state s[0..3], s[1]*5 rotated by 7, times 9
  // (D. Blackman, S. Vigna, ACM TOMS 47 (2021), from memory).
  it('is xoshiro128** of the state that the seed gives', () => {
    fc.assert(
      fc.property(fc.nat(0xffffffff), (seed) => {
        const random = seededRandom(seed);
        const expected = independentWords(seed, 20);
        expect(Array.from({ length: 20 }, () => random.unit() * 2 ** 32)).toEqual(expected);
      }),
    );
  });

  it('gives the same numbers for the same seed and others for another', () => {
    const take = (seed: number): number[] => {
      const random = seededRandom(seed);
      return Array.from({ length: 8 }, () => random.int(1000));
    };
    expect(take(7)).toEqual(take(7));
    expect(take(7)).not.toEqual(take(8));
  });

  it('stays below its bound and reaches all below it', () => {
    const random = seededRandom(1);
    const counts = new Array<number>(6).fill(0);
    for (let i = 0; i < 6000; i++) counts[random.int(6)]! += 1;
    // 1000 each; the standard deviation is 29.
    for (const count of counts) expect(Math.abs(count - 1000)).toBeLessThan(150);
  });

  it('has a normal distribution of mean 0 and deviation 1', () => {
    const random = seededRandom(2);
    const sample = Array.from({ length: 20_000 }, () => random.normal());
    const mean = sample.reduce((sum, x) => sum + x, 0) / sample.length;
    const variance = sample.reduce((sum, x) => sum + (x - mean) ** 2, 0) / sample.length;
    const withinOne = sample.filter((x) => Math.abs(x) < 1).length / sample.length;
    expect(sample.every(Number.isFinite)).toBe(true);
    expect(Math.abs(mean)).toBeLessThan(0.03);
    expect(Math.abs(variance - 1)).toBeLessThan(0.05);
    // erf(1/sqrt 2)
    expect(Math.abs(withinOne - 0.6827)).toBeLessThan(0.02);
  });
});

function independentWords(seed: number, count: number): number[] {
  const u32 = (x: bigint): bigint => BigInt.asUintN(32, x);
  const rotate = (x: bigint, by: bigint): bigint => u32((x << by) | (x >> (32n - by)));
  let mix = BigInt(seed);
  const split = (): bigint => {
    mix = u32(mix + 0x9e3779b9n);
    let z = u32((mix ^ (mix >> 16n)) * 0x85ebca6bn);
    z = u32((z ^ (z >> 13n)) * 0xc2b2ae35n);
    return z ^ (z >> 16n);
  };
  const s = [split(), split(), split(), split()] as [bigint, bigint, bigint, bigint];
  return Array.from({ length: count }, () => {
    const result = u32(rotate(u32(s[1] * 5n), 7n) * 9n);
    const t = u32(s[1] << 9n);
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate(s[3], 11n);
    return Number(result);
  });
}
