import { quantileOf } from '../budget/statistics.ts';

/** Samples that are kept as they are; with more of them quantiles come from the classes. */
const exactSamples = 1024;

/**
 * Classes grow by this factor: a quantile read from them is within 1 % of the sample it stands for, by the relative
 * error (g - 1) / (g + 1). Source: Masson, Rim, Lee, "DDSketch", VLDB 2019, section 2.
 */
const growth = 1.01 / 0.99;
const logGrowth = Math.log(growth);

export type DelaySummary = {
  readonly count: number;
  /** Microseconds. Exact up to 1,024 delays; beyond that within 1 %. NaN of none. */
  readonly median: number;
  readonly p95: number;
  /** Exact, whatever the count. */
  readonly least: number;
  readonly worst: number;
  /** Whether median and p95 are exact. */
  readonly exact: boolean;
};

/** One bar: so many delays from `from` up to, not including, `to` microseconds. */
export type DelayBar = { readonly from: number; readonly to: number; readonly count: number };

/**
 * Delays of one kind, in microseconds, in bounded memory: classes of 1 % relative width, some 1,200 from a microsecond to
 * a quarter of an hour. A delay below a microsecond, or below nothing by the uncertainty of two clocks, is in the lowest
 * class; `least` still tells it.
 */
export class Delays {
  #samples: number[] = [];
  #exact = true;
  #count = 0;
  #least = Infinity;
  #worst = -Infinity;
  /** By the power of `growth` that a delay does not exceed. */
  readonly #classes = new Map<number, number>();

  get count(): number {
    return this.#count;
  }

  add(delay: number): void {
    this.#count += 1;
    this.#least = Math.min(this.#least, delay);
    this.#worst = Math.max(this.#worst, delay);
    const index = delay <= 1 ? 0 : Math.ceil(Math.log(delay) / logGrowth);
    this.#classes.set(index, (this.#classes.get(index) ?? 0) + 1);
    if (!this.#exact) return;
    if (this.#samples.length < exactSamples) this.#samples.push(delay);
    else {
      this.#exact = false;
      this.#samples = [];
    }
  }

  summary(): DelaySummary {
    if (this.#count === 0) {
      return { count: 0, median: Number.NaN, p95: Number.NaN, least: Number.NaN, worst: Number.NaN, exact: true };
    }
    const sorted = Float64Array.from(this.#samples).sort();
    const at = (p: number): number => (this.#exact ? quantileOf(sorted, p) : this.#fromClasses(p));
    return {
      count: this.#count,
      median: at(0.5),
      p95: at(0.95),
      least: this.#least,
      worst: this.#worst,
      exact: this.#exact,
    };
  }

  /**
   * Bars that split each decade at 1, 2 and 5, from the one with the least to the one with the greatest delay. A delay
   * within 1 % of where two bars meet may stand in either.
   */
  bars(): readonly DelayBar[] {
    if (this.#count === 0) return [];
    const counts = new Map<number, number>();
    for (const [index, count] of this.#classes) {
      const bar = barOf(index === 0 ? 0 : growth ** (index - 0.5));
      counts.set(bar, (counts.get(bar) ?? 0) + count);
    }
    const present = [...counts.keys()];
    const bars: DelayBar[] = [];
    for (let bar = Math.min(...present); bar <= Math.max(...present); bar++) {
      bars.push({ from: bar === 0 ? 0 : edge(bar), to: edge(bar + 1), count: counts.get(bar) ?? 0 });
    }
    return bars;
  }

  #fromClasses(p: number): number {
    const rank = Math.max(1, Math.ceil(p * this.#count));
    let below = 0;
    for (const [index, count] of [...this.#classes].sort(([a], [b]) => a - b)) {
      below += count;
      // The point whose relative distance to both ends of the class is the same.
      if (below >= rank) return this.#within(index === 0 ? 0 : (2 * growth ** index) / (growth + 1));
    }
    return this.#worst;
  }

  #within(delay: number): number {
    return Math.min(this.#worst, Math.max(this.#least, delay));
  }
}

/** Bar 0 ends at 100 µs, what is shorter is no matter of a radio; then 100, 200, 500 µs, 1, 2, 5 ms and so on. */
function edge(bar: number): number {
  const from = bar - 1;
  return ([1, 2, 5][from % 3] ?? 1) * 10 ** (2 + Math.floor(from / 3));
}

function barOf(delay: number): number {
  let bar = 0;
  while (delay >= edge(bar + 1)) bar += 1;
  return bar;
}
