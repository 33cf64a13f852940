import { performance } from 'node:perf_hooks';

/** Milliseconds for one call: the median of `rounds`, with the extremes beside it. */
export type Timing = { readonly median: number; readonly min: number; readonly max: number; readonly rounds: number };

/** Times `work` after a warm-up of a third of the rounds. */
export function time(rounds: number, work: () => void): Timing {
  for (let i = 0; i < rounds / 3; i++) work();
  const samples: number[] = [];
  for (let i = 0; i < rounds; i++) {
    const start = performance.now();
    work();
    samples.push(performance.now() - start);
  }
  return summary(samples);
}

export async function timeAsync(rounds: number, work: () => Promise<void>): Promise<Timing> {
  for (let i = 0; i < rounds / 3; i++) await work();
  const samples: number[] = [];
  for (let i = 0; i < rounds; i++) {
    const start = performance.now();
    await work();
    samples.push(performance.now() - start);
  }
  return summary(samples);
}

export function summary(samples: readonly number[]): Timing {
  const sorted = [...samples].sort((a, b) => a - b);
  return {
    median: sorted[Math.floor(sorted.length / 2)] ?? Number.NaN,
    min: sorted[0] ?? Number.NaN,
    max: sorted[sorted.length - 1] ?? Number.NaN,
    rounds: samples.length,
  };
}

export function showTiming({ median, min, max, rounds }: Timing): string {
  return `median ${digits(median)} ms (${digits(min)} to ${digits(max)}, ${rounds} rounds)`;
}

export function digits(value: number): string {
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}
