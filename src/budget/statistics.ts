/** What many observations come to. */
export type Summary = {
  readonly count: number;
  readonly mean: number;
  /** Half the width of the 95 % confidence interval of the mean, 1.96 s / √n; for independent observations. */
  readonly halfWidth: number;
  readonly least: number;
  readonly median: number;
  readonly p95: number;
  readonly p999: number;
  readonly greatest: number;
};

/** @param samples in any order, left as they are; none gives a summary of NaN */
export function summarise(samples: Float64Array): Summary {
  const sorted = samples.slice().sort();
  const count = sorted.length;
  let sum = 0;
  for (const x of sorted) sum += x;
  const mean = sum / count;
  let squares = 0;
  for (const x of sorted) squares += (x - mean) ** 2;
  return {
    count,
    mean,
    halfWidth: count > 1 ? 1.96 * Math.sqrt(squares / (count - 1) / count) : Number.NaN,
    least: sorted[0] ?? Number.NaN,
    median: quantileOf(sorted, 0.5),
    p95: quantileOf(sorted, 0.95),
    p999: quantileOf(sorted, 0.999),
    greatest: sorted[count - 1] ?? Number.NaN,
  };
}

/** The smallest sample that at least the share `p` of all does not exceed. */
export function quantileOf(sorted: Float64Array, p: number): number {
  return sorted[Math.max(0, Math.ceil(p * sorted.length) - 1)] ?? Number.NaN;
}

/** Half the width of the 95 % interval of a share seen in n trials, by the normal approximation. */
export function shareHalfWidth(share: number, n: number): number {
  return 1.96 * Math.sqrt((share * (1 - share)) / n);
}

/** Numbers in the order they come, without a bound known before. */
export class Samples {
  #values = new Float64Array(1024);
  #length = 0;

  push(value: number): void {
    if (this.#length === this.#values.length) {
      const larger = new Float64Array(2 * this.#length);
      larger.set(this.#values);
      this.#values = larger;
    }
    this.#values[this.#length++] = value;
  }

  get length(): number {
    return this.#length;
  }

  /** A copy. */
  all(): Float64Array {
    return this.#values.slice(0, this.#length);
  }
}
