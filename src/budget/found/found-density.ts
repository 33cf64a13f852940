import { advertisingChannels, heardPacket, type Advertiser, type ScanPattern } from './scan.ts';

/** Cells of the phase at the most; the error of a mean falls with their square. */
const mostCells = 12_000;
/** Rounds that are followed before the rest is taken as geometric. */
const mostEvents = 1000;
const negligible = 1e-6;

export type FoundDensity = {
  /** Share of all phases at which an event is heard. */
  readonly coverage: number;
  /** Mean number of events that are missed before one is heard. */
  readonly meanMissed: number;
  /** What it would be if each event met the windows at a phase of its own: (1 - coverage) / coverage. */
  readonly meanMissedIndependent: number;
  /** Mean time from the start of the first event to the end of the packet heard, µs: Wald, E[missed] (I + D / 2) + within. */
  readonly mean: number;
  /** `missed[n]`: chance that the events 0..n are all missed. */
  readonly missed: readonly number[];
};

/**
 * The chance that a board is found with its n-th advertising event, by following the density of the phase between board
 * and scanner. The phase is even at first; each event that is heard takes its part away; the rest moves on by I + U(0, D),
 * round by round. Exact but for the grid of cells, on which the density is taken as constant.
 *
 * The mean time is exact with it (Wald's equation: the number of events is a stopping time of the delays).
 */
export function foundDensity(advertiser: Advertiser, pattern: ScanPattern): FoundDensity {
  const { interval, delay } = advertiser;
  const round = advertisingChannels * pattern.interval;
  const cells = Math.min(mostCells, Math.max(3000, Math.ceil(round / 100)));
  const cell = round / cells;
  const within = new Float64Array(cells).fill(-1);
  let covered = 0;
  for (let i = 0; i < cells; i++) {
    const channel = heardPacket(advertiser, pattern, (i + 0.5) * cell);
    if (channel < 0) continue;
    covered += 1;
    within[i] = channel * advertiser.step + advertiser.packet;
  }
  const coverage = covered / cells;
  if (covered === 0) {
    return { coverage, meanMissed: Infinity, meanMissedIndependent: Infinity, mean: Infinity, missed: [] };
  }

  let mass = new Float64Array(cells).fill(1 / cells);
  const total = new Float64Array(cells + 1);
  const missed: number[] = [];
  let meanMissed = 0;
  let meanWithin = 0;
  for (let n = 0; n < mostEvents; n++) {
    let left = 0;
    for (let i = 0; i < cells; i++) {
      const here = mass[i] ?? 0;
      const offset = within[i] ?? -1;
      if (offset >= 0) {
        meanWithin += here * offset;
        mass[i] = 0;
      } else left += here;
      total[i + 1] = left;
    }
    missed.push(left);
    meanMissed += left;
    if (left < negligible) break;
    mass = moved(mass, total, interval / cell, delay / cell, left);
  }
  // What is left after the last round goes on at its last rate.
  const last = missed.at(-1) ?? 0;
  const before = missed.at(-2) ?? 1;
  const rate = before > 0 ? last / before : 0;
  if (last > negligible) meanMissed += rate < 1 ? (last * rate) / (1 - rate) : Infinity;
  return {
    coverage,
    meanMissed,
    meanMissedIndependent: (1 - coverage) / coverage,
    mean: meanMissed * (interval + delay / 2) + meanWithin,
    missed,
  };
}

/**
 * The density moved round by `shift` + U(0, `width`) cells: its value at x is the mean of the old one from
 * x - shift - width to x - shift.
 *
 * @param total mass below each cell's lower edge
 */
function moved(
  mass: Float64Array,
  total: Float64Array,
  shift: number,
  width: number,
  all: number,
): Float64Array<ArrayBuffer> {
  const cells = mass.length;
  const below = (x: number): number => {
    const rounds = Math.floor(x / cells);
    const place = x - rounds * cells;
    const i = Math.floor(place);
    const low = total[i] ?? 0;
    return rounds * all + low + (place - i) * ((total[i + 1] ?? all) - low);
  };
  const next = new Float64Array(cells);
  let sum = 0;
  for (let i = 0; i < cells; i++) {
    const x = i + 0.5 - shift;
    const here = (below(x) - below(x - width)) / width;
    next[i] = here;
    sum += here;
  }
  const scale = all / sum;
  for (let i = 0; i < cells; i++) next[i] = (next[i] ?? 0) * scale;
  return next;
}
