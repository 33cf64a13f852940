/** A stream of numbers that a seed determines wholly. Not for secrets. */
export type Random = {
  /** A whole number, 0 <= n < `below`; `below` at most 2^32. */
  int(below: number): number;
  /** 0 <= x < 1, 32 bits of it. */
  unit(): number;
  /** Normal distribution, mean 0, standard deviation 1. */
  normal(): number;
};

/**
 * xoshiro128** seeded through splitmix32.
 * Source: D. Blackman, S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47 (2021) (from memory).
 */
export function seededRandom(seed: number): Random {
  let mix = seed >>> 0;
  const next = (): number => {
    mix = (mix + 0x9e3779b9) >>> 0;
    let z = mix;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  let a = next();
  let b = next();
  let c = next();
  let d = next();
  const rotate = (x: number, by: number): number => ((x << by) | (x >>> (32 - by))) >>> 0;
  const word = (): number => {
    const result = Math.imul(rotate(Math.imul(b, 5) >>> 0, 7), 9) >>> 0;
    const t = (b << 9) >>> 0;
    c = (c ^ a) >>> 0;
    d = (d ^ b) >>> 0;
    b = (b ^ c) >>> 0;
    a = (a ^ d) >>> 0;
    c = (c ^ t) >>> 0;
    d = rotate(d, 11);
    return result;
  };
  const unit = (): number => word() / 0x1_0000_0000;
  return {
    int: (below) => Math.floor(unit() * below),
    unit,
    // Box-Muller; 1 - u keeps the logarithm away from zero.
    normal: () => Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit()),
  };
}
