/** One axis of a plot: from values to pixels, with ticks at round values. */
export type Axis = {
  readonly from: number;
  readonly to: number;
  readonly kind: 'linear' | 'log';
  readonly ticks: readonly number[];
  /** 0..1 along the axis; beyond it for values beyond its ends. */
  place(value: number): number;
};

/** Round values from 0 (or `least`) to at least `most`, some five or six steps. */
export function linearAxis(most: number, least = 0, wished = 5): Axis {
  const span = most - least > 0 ? most - least : 1;
  const step = roundUp(span / wished);
  const from = Math.floor(least / step) * step;
  const count = Math.max(1, Math.ceil((least + span - from) / step - 1e-9));
  const to = from + count * step;
  return {
    kind: 'linear',
    from,
    to,
    ticks: Array.from({ length: count + 1 }, (_, i) => from + i * step),
    place: (value) => (value - from) / (to - from),
  };
}

/** Powers of ten, with 2 and 5 between them where there is room: from at most `least` to at least `most`, both above 0. */
export function logAxis(least: number, most: number): Axis {
  const digits = Math.log10(most / least) > 3 ? [1] : Math.log10(most / least) > 1.2 ? [1, 3] : [1, 2, 5];
  const low = Math.floor(Math.log10(least) + 1e-9);
  const high = Math.ceil(Math.log10(most) + 1);
  const round = Array.from({ length: high - low + 1 }, (_, i) => low + i).flatMap((exponent) =>
    digits.map((digit) => Number((digit * 10 ** exponent).toPrecision(2))),
  );
  const from = round.filter((value) => value <= least * (1 + 1e-9)).at(-1) ?? least;
  const to = round.find((value) => value >= most * (1 - 1e-9) && value > from) ?? most;
  return {
    kind: 'log',
    from,
    to,
    ticks: round.filter((value) => value >= from && value <= to),
    place: (value) => Math.log(Math.max(value, 1e-300) / from) / Math.log(to / from),
  };
}

/** The smallest of 1, 2, 2.5, 5 × 10^n that is not below `least`, which is above 0. */
function roundUp(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  const digit = [1, 2, 2.5, 5, 10].find((each) => each * power >= least * (1 - 1e-9)) ?? 10;
  return digit * power;
}

/** A time axis in the unit that suits its end: what a tick of µs is divided by, and the unit’s name. */
export function timeUnit(mostUs: number): { readonly per: number; readonly name: string } {
  if (mostUs < 2000) return { per: 1, name: 'µs' };
  if (mostUs < 2_000_000) return { per: 1000, name: 'ms' };
  if (mostUs < 240_000_000) return { per: 1_000_000, name: 's' };
  return { per: 60_000_000, name: 'min' };
}
