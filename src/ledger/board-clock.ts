import { bug } from '../base/bug.ts';
import { us, type Microseconds } from '../base/quantity.ts';

/** A reading of the board's clock: milliseconds since power-up, counted on beyond 2^32. */
export type Stamp = number;

/** How the board's clock and the host's go together now. */
export type Alignment = {
  /** Host time at which the board's clock was 0 by the present fit, microseconds. */
  readonly offset: number;
  /** How much faster the board's clock goes than the host's, parts per million; 0 until it can be told. */
  readonly driftPpm: number;
  /** Half the width of the interval that a time on the board's clock may lie in, microseconds. */
  readonly uncertainty: number;
  /** Whether the bound is from both sides. Without an answer to `time` nothing says how long lines were on their way. */
  readonly bounded: boolean;
};

/**
 * What the board's stamps bound, over a few seconds of the host's clock: `theta` is the host's time at the board's 0, if
 * both clocks went alike from there.
 */
type Window = {
  readonly from: Microseconds;
  /** A line cannot come before it was stamped: theta is at most this. At which stamp, microseconds. */
  upper: number;
  upperAt: number;
  /** A clock that was asked for cannot be read before: theta is at least this. */
  lower: number;
  lowerAt: number;
};

const wrap = 0x1_0000_0000;
/** The length of a window and how many are remembered: eight minutes show 1 ppm through a millisecond of jitter. */
const windowLength = 5_000_000;
const mostWindows = 96;
/** The newest windows that the offset is taken from: what drift there is has little time to show in one minute. */
const offsetWindows = 12;
/** Windows and time that a drift is told from. */
const leastWindows = 4;
const leastSpan = 15_000_000;
/** No crystal or RC oscillator that can hold a radio link is off by more. */
const mostDrift = 2e-3;
/** A stamp that is further ahead of the host's clock than this is no reading of the same clock. */
const leap = 2_000_000;
/** A stamp counts whole milliseconds: the event was up to one later. */
const tick = 1000;

/**
 * The board's millisecond clock on the host's time. Each stamped line bounds the offset from above (it cannot arrive before
 * it was stamped), each answer to `time` also from below (it was not read before it was asked for). Drift is the median
 * of the slopes between windows (Theil, Sen 1968); what remains is an interval, and its half is the uncertainty.
 *
 * Stamps of one power-up never go back. One that does, or that runs ahead of the host's clock, is either a board that was
 * reset without a word or a garbled line: it is believed when a second line agrees.
 */
export class BoardClock {
  #windows: Window[] = [];
  #last: Stamp | undefined;
  #suspect: { readonly ms: number; readonly at: Microseconds } | undefined;
  #drift = 0;
  #driftError = 0;
  #fit: { readonly low: number; readonly high: number } | undefined;
  #resets = 0;

  /** How often the clock began anew. */
  get resets(): number {
    return this.#resets;
  }

  /**
   * Takes a stamped line as it arrives.
   *
   * @param ms as printed, modulo 2^32
   * @returns the stamp, and whether the board was reset before it; `undefined` for one that is not to be believed
   */
  take(ms: number, at: Microseconds): { readonly stamp: Stamp; readonly reset: boolean } | undefined {
    const plausible = this.#unwrapped(ms, at);
    if (plausible !== undefined) {
      this.#suspect = undefined;
      this.#note(plausible, at);
      return { stamp: plausible, reset: false };
    }
    const before = this.#suspect;
    this.#suspect = { ms, at };
    if (before === undefined) return undefined;
    const onBoard = (((ms - before.ms) % wrap) + wrap) % wrap;
    if (Math.abs(onBoard * 1000 - (at - before.at)) > leap) return undefined;
    this.reset();
    this.#note(ms, at);
    return { stamp: ms, reset: true };
  }

  /** An answer to `time`: asked for at `asked`, and taken as a line at `at` already. */
  exchange(asked: Microseconds, stamp: Stamp, at: Microseconds): void {
    const window = this.#window(at);
    const lower = asked - stamp * 1000 - tick;
    if (lower <= window.lower) return;
    window.lower = lower;
    window.lowerAt = stamp * 1000;
    this.#fit = undefined;
  }

  /** The board said that it was powered up: its clock begins at 0. */
  reset(): void {
    if (this.#last !== undefined) this.#resets += 1;
    this.#windows = [];
    this.#last = undefined;
    this.#suspect = undefined;
    this.#drift = 0;
    this.#driftError = 0;
    this.#fit = undefined;
  }

  /** The middle of the interval of host time in which the board's clock read `stamp`. */
  hostTime(stamp: Stamp): Microseconds {
    const { low, high } = this.#offsets();
    return us(Math.round((low + high) / 2 + stamp * 1000 * (1 + this.#drift) + tick / 2));
  }

  /** `undefined` before the first stamped line. */
  get alignment(): Alignment | undefined {
    if (this.#last === undefined) return undefined;
    const { low, high } = this.#offsets();
    return {
      offset: (low + high) / 2,
      driftPpm: driftPpm(this.#drift),
      uncertainty: this.uncertainty,
      bounded: this.#bounded(),
    };
  }

  /** Half of the interval, microseconds. */
  get uncertainty(): number {
    const { low, high } = this.#offsets();
    return (high - low) / 2 + this.#driftError * offsetWindows * windowLength;
  }

  #bounded(): boolean {
    return this.#windows.slice(-offsetWindows).some(({ lower }) => lower > -Infinity);
  }

  /** The reading, counted on over the wrap; `undefined` when this clock cannot show it. */
  #unwrapped(ms: number, at: Microseconds): Stamp | undefined {
    if (this.#last === undefined) return ms;
    const ahead = (((ms - this.#last) % wrap) + wrap) % wrap;
    // Half the range ahead is as far as half the range back.
    if (ahead >= wrap / 2) return undefined;
    const stamp = this.#last + ahead;
    return this.hostTime(stamp) - at > leap ? undefined : stamp;
  }

  #note(stamp: Stamp, at: Microseconds): void {
    this.#last = stamp;
    const window = this.#window(at);
    const upper = at - stamp * 1000;
    if (upper >= window.upper) return;
    window.upper = upper;
    window.upperAt = stamp * 1000;
    this.#fit = undefined;
  }

  #window(at: Microseconds): Window {
    const newest = this.#windows.at(-1);
    if (newest !== undefined && at - newest.from < windowLength) return newest;
    if (newest !== undefined) this.#tellDrift();
    const window: Window = { from: at, upper: Infinity, upperAt: 0, lower: -Infinity, lowerAt: 0 };
    this.#windows.push(window);
    if (this.#windows.length > mostWindows) this.#windows.shift();
    this.#fit = undefined;
    return window;
  }

  #tellDrift(): void {
    const points = this.#windows
      .filter(({ upper }) => upper < Infinity)
      .map(({ upper, upperAt, lower, lowerAt }) =>
        lower > -Infinity ? { x: (upperAt + lowerAt) / 2, y: (upper + lower) / 2 } : { x: upperAt, y: upper },
      );
    const [first] = points;
    const last = points.at(-1);
    if (points.length < leastWindows || first === undefined || last === undefined) return;
    if (last.x - first.x < leastSpan) return;
    const slopes: number[] = [];
    for (const [i, a] of points.entries()) {
      // Neighbours say little of a slope and much of the jitter.
      for (const b of points.slice(i + Math.ceil(points.length / 4)))
        if (b.x > a.x) slopes.push((b.y - a.y) / (b.x - a.x));
    }
    if (slopes.length === 0) return;
    slopes.sort((a, b) => a - b);
    const at = (share: number): number => slopes[Math.floor(share * (slopes.length - 1))] ?? 0;
    this.#drift = Math.min(mostDrift, Math.max(-mostDrift, at(0.5)));
    this.#driftError = (at(0.75) - at(0.25)) / 2 / Math.sqrt(points.length);
  }

  #offsets(): { readonly low: number; readonly high: number } {
    this.#fit ??= this.#newFit();
    return this.#fit;
  }

  #newFit(): { readonly low: number; readonly high: number } {
    let high = Infinity;
    let low = -Infinity;
    for (const { upper, upperAt, lower, lowerAt } of this.#windows.slice(-offsetWindows)) {
      high = Math.min(high, upper - this.#drift * upperAt);
      low = Math.max(low, lower - this.#drift * lowerAt);
    }
    bug(high < Infinity, 'a clock without a stamp has no host time');
    // Without a question nothing bounds it from below: the fastest line is taken to have come at once.
    if (low === -Infinity) return { low: high - tick, high };
    // Jitter and drift that cross each other: the truth is between them.
    return low <= high ? { low, high } : { low: high, high: low };
  }
}

function driftPpm(slope: number): number {
  // Host time per board time less one: a board that counts fast needs less host time for a count.
  return (1 / (1 + slope) - 1) * 1e6;
}
