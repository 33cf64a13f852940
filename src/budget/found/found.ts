import { us } from '../../base/quantity.ts';
import { compared, type Basis, type Compared } from '../basis.ts';
import { quantileOf } from '../statistics.ts';
import { foundDensity, type FoundDensity } from './found-density.ts';
import { runFound } from './found-run.ts';
import type { Advertiser, ScanPattern } from './scan.ts';

export type Found = {
  readonly pattern: ScanPattern;
  /** Share of phases at which one event is heard. */
  readonly coverage: number;
  /** µs from power-on to the first packet heard. */
  readonly mean: Compared;
  /** From the run, µs. */
  readonly median: number;
  readonly p95: number;
  readonly p999: number;
  /** µs that no board exceeds; `undefined` when windows are shorter than an advertising interval. */
  readonly bound: number | undefined;
  /** Set when the interval keeps step with the windows. */
  readonly resonance: Resonance | undefined;
  /** For a curve: share found within a time, from the run. */
  readonly curve: readonly { readonly timeUs: number; readonly share: number }[];
  /** The same by analysis: share found by the mean time of the n-th event. Thinned to some dozens of points. */
  readonly closedCurve: readonly { readonly timeUs: number; readonly share: number }[];
  /** Trials of the run that were not found within its limit. */
  readonly gaveUp: number;
};

export type Resonance = {
  /** Mean missed events over what independent phases would miss. */
  readonly factor: number;
  /** A nearby advertising interval that is found sooner, µs; `undefined` when none of those tried is. */
  readonly better: number | undefined;
};

/** Times as many events missed as by chance alone, beyond which interval and windows are said to keep step. */
const resonant = 2;

/** Time from power-on until a scanner has first heard the board. */
export function found(
  advertiser: Advertiser,
  pattern: ScanPattern,
  options: { readonly trials: number; readonly seed: number },
): Found {
  const density = foundDensity(advertiser, pattern);
  const limit = Math.max(60_000_000, 30 * (Number.isFinite(density.mean) ? density.mean : 0));
  const run = runFound(advertiser, pattern, { ...options, limit });
  const sorted = run.times.slice().sort();
  return {
    pattern,
    coverage: density.coverage,
    mean: compared(density.mean, run.mean, run.halfWidth),
    median: run.median,
    p95: run.p95,
    p999: run.p999,
    bound: foundBound(advertiser, pattern),
    resonance: resonanceOf(advertiser, pattern, density),
    curve: sorted.length === 0 ? [] : curveOf(sorted, sorted.length / options.trials),
    closedCurve: closedCurve(advertiser, density),
    gaveUp: run.gaveUp,
  };
}

/** @param all share of the trials that were found at all */
function curveOf(sorted: Float64Array, all: number): Found['curve'] {
  return Array.from({ length: 41 }, (_, i) => ({
    timeUs: i === 0 ? 0 : quantileOf(sorted, i / 40),
    share: (all * i) / 40,
  }));
}

const closedPoints = 60;

/** The n-th event comes at n (I + D / 2) on average; its first packet is as good as its third here. */
function closedCurve({ interval, delay, packet }: Advertiser, { missed }: FoundDensity): Found['closedCurve'] {
  const every = Math.max(1, Math.ceil(missed.length / closedPoints));
  return missed
    .map((left, n) => ({ timeUs: n * (interval + delay / 2) + packet, share: 1 - left }))
    .filter((_, n) => n % every === 0 || n === missed.length - 1);
}

/**
 * The longest time to be found when each window is sure to hold an event: window - packet >= interval + delay. The next
 * whole window begins within a scan interval, and an event within that.
 */
export function foundBound({ interval, delay, packet, step }: Advertiser, pattern: ScanPattern): number | undefined {
  if (pattern.window - packet < interval + delay) return undefined;
  return pattern.interval + interval + delay + 2 * step + packet;
}

function resonanceOf(advertiser: Advertiser, pattern: ScanPattern, density: FoundDensity): Resonance | undefined {
  const factor = density.meanMissed / density.meanMissedIndependent;
  // Where every window holds an event, the events between windows are missed in a row, and that is no resonance.
  if (foundBound(advertiser, pattern) !== undefined) return undefined;
  // Of few missed events none is worth a warning, whatever the factor.
  if (density.meanMissed < 2 || !(factor > resonant)) return undefined;
  let better: number | undefined;
  let best = density.mean / 1.5;
  for (const change of [-40_000, -20_000, 20_000, 40_000]) {
    const interval = us(advertiser.interval + change);
    if (interval < 20_000) continue;
    const { mean } = foundDensity({ ...advertiser, interval }, pattern);
    if (mean >= best) continue;
    best = mean;
    better = interval;
  }
  return { factor, better };
}

/**
 * Mean wait of somebody who begins to listen all the time at a random moment, to the start of the next event, µs:
 * E[T²] / (2 E[T]) with T = interval + U(0, delay). Renewal theory; without packet length, losses and changes of channel.
 */
export function meanWaitListening({ interval, delay }: Pick<Advertiser, 'interval' | 'delay'>): number {
  const mean = interval + delay / 2;
  return (mean ** 2 + delay ** 2 / 12) / (2 * mean);
}

export const foundBasis: Basis = {
  formula:
    'phase density over the scanner’s round of three intervals, moved by I + U(0, 10 ms) an event; mean time = E[missed events] × (I + 5 ms) + place in the event',
  source:
    'Core Vol 6 Part B 4.4.2.2.1 (advDelay), 4.4.3 (scanning); Wald’s equation; derived here. Kindt et al., arXiv 1509.04366, treat the ideal one-channel problem',
  assumes: [
    'one board alone, no loss, no collision',
    'the scanner takes channels 37, 38, 39 in turn, one an interval, and loses no time in changing',
    'a packet counts when it lies whole in a window of its channel',
    'time runs from power-on, which is taken as the start of the first advertising event, at any phase of the scanner',
  ],
  validity: [
    'phones share their radio with other links and change their pattern with screen, app and battery',
    'what the board does between power-on and its first advertising event, and what an app does until it shows the name, come on top; names in the scan response need a further exchange',
  ],
};
