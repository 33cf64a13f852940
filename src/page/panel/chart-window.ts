/** The part of a trace that a chart of some width shows. */
export type Samples = {
  readonly length: number;
  timeAt(index: number): number;
  valueAt(index: number): number;
  firstSince(time: number): number;
};

export type Drawn = { readonly times: number[]; readonly values: number[] };

/**
 * The samples from `from` to `to`, thinned to what `columns` of pixels can show: of more than four in a column the first,
 * the smallest, the largest and the last. The sample before the window is put at its edge, so that a value that does not
 * change is drawn too; NaN makes a gap.
 *
 * @param hold whether the last value holds until `to`
 */
export function drawnSamples(trace: Samples, from: number, to: number, columns: number, hold: boolean): Drawn {
  const times: number[] = [];
  const values: number[] = [];
  const put = (time: number, value: number): void => {
    times.push(time);
    values.push(value);
  };
  const first = trace.firstSince(from);
  if (hold && first > 0) put(from, trace.valueAt(first - 1));
  const perColumn = (to - from) / columns;
  let index = first;
  while (index < trace.length) {
    const start = trace.timeAt(index);
    const column = Math.floor((start - from) / perColumn);
    let end = index;
    let low = index;
    let high = index;
    while (end < trace.length && Math.floor((trace.timeAt(end) - from) / perColumn) === column) {
      if (trace.valueAt(end) < trace.valueAt(low)) low = end;
      if (trace.valueAt(end) > trace.valueAt(high)) high = end;
      end += 1;
    }
    const kept =
      end - index <= 4
        ? Array.from({ length: end - index }, (_, i) => index + i)
        : [...new Set([index, low, high, end - 1])].sort((a, b) => a - b);
    for (const one of kept) put(trace.timeAt(one), trace.valueAt(one));
    index = end;
  }
  if (hold && times.length > 0) put(to, values.at(-1) ?? Number.NaN);
  return { times, values };
}

export type Span = { readonly min: number; readonly max: number };

/**
 * The span of the vertical scale: round, around what is drawn, and calm: it grows at once, and shrinks only when what is
 * drawn takes less than a quarter of it.
 *
 * @param least the smallest span that makes sense: some steps of the coding
 * @param limits what the values can be; the span does not go beyond it, unless they do
 */
export function calmSpan(before: Span | undefined, values: readonly number[], least: number, limits?: Span): Span {
  let min = Infinity;
  let max = -Infinity;
  for (const value of values) {
    if (value < min) min = value;
    if (value > max) max = value;
  }
  if (min > max) return before ?? { min: 0, max: least };
  const fits = before !== undefined && min >= before.min && max <= before.max;
  const tight = Math.max(max - min, least);
  if (fits && tight * 4 >= before.max - before.min) return before;
  const middle = (min + max) / 2;
  const reach = Math.max(tight * 0.6, least / 2);
  const step = roundNumber((2 * reach) / 4);
  const low = Math.floor((middle - reach) / step) * step;
  const high = Math.ceil((middle + reach) / step) * step;
  if (limits === undefined || min < limits.min || max > limits.max) return { min: low, max: high };
  return { min: Math.max(low, limits.min), max: Math.min(high, limits.max) };
}

/** The smallest of 1, 2, 5 × 10^n not below `least`. */
export function roundNumber(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((digit) => digit * power).find((step) => step >= least * (1 - 1e-9)) ?? 10 * power;
}
