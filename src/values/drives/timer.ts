import { bug } from '../../base/bug.ts';
import {
  absolute,
  ceiling,
  compare,
  divide,
  multiply,
  rational,
  subtract,
  zero,
  type Rational,
} from '../../base/rational.ts';
import type { PhysicalRange, UnitCode } from '../type.ts';
import { highestOf, type End } from './line.ts';
import type { TimerDrive } from './model.ts';
import { limit, outcome, type DriveOutcome, type DriveWord, type WordShape } from './outcome.ts';

/**
 * A reload timer: it divides the clock by prescaler * count, where count = reload + 1, since the counter passes 0 too.
 * Frequency = clock / (prescaler * count); period = prescaler * count / clock. Source: common practice of auto-reload
 * timers; for example the update rate clock / ((PSC + 1)(ARR + 1)) of STMicroelectronics' general-purpose timers.
 */
export type TimerSetting = {
  /** Index into the drive's prescalers. */
  readonly index: number;
  /** 1..2^reloadBits. */
  readonly count: bigint;
  /** True when the nearest count of this prescaler does not exist and the first or last one stands for it. */
  readonly held: boolean;
};

/**
 * The words in order: `run` (a frequency of 0 is a stopped timer, so only frequencies have it), `prescaler-index` where
 * there is a choice, `reload`.
 */
export function timerWordShapes(drive: TimerDrive): readonly WordShape[] {
  return timerWords(drive, undefined).map(({ name, bits }) => ({ name, bits }));
}

/** The words of a setting; `undefined` for a stopped timer, which stands ready at its slowest. */
export function timerWords(drive: TimerDrive, setting: TimerSetting | undefined): readonly DriveWord[] {
  const run: DriveWord = { name: 'run', bits: 1, value: setting === undefined ? 0n : 1n };
  const choices = drive.prescalers.length;
  const prescaler: DriveWord = {
    name: 'prescaler-index',
    bits: (choices - 1).toString(2).length,
    value: BigInt(setting?.index ?? choices - 1),
  };
  const reload: DriveWord = {
    name: 'reload',
    bits: drive.reloadBits,
    value: setting === undefined ? highestOf(drive.reloadBits) : setting.count - 1n,
  };
  return [...(drive.of === 'frequency' ? [run] : []), ...(choices > 1 ? [prescaler] : []), reload];
}

/** Clock counts in one period of `value`, as a fraction; the value is above 0. */
function clockCounts(drive: TimerDrive, value: Rational): Rational {
  return drive.of === 'frequency' ? divide(drive.clock, value) : multiply(drive.clock, value);
}

/** What a setting produces. */
export function settingValue(drive: TimerDrive, index: number, count: bigint): Rational {
  const prescaler = drive.prescalers[index];
  bug(prescaler !== undefined, 'a prescaler index beyond the list');
  const counts = rational(BigInt(prescaler) * count);
  return drive.of === 'frequency' ? divide(drive.clock, counts) : divide(counts, drive.clock);
}

/**
 * The whole count that produces the value nearest to `num / den` counts, 0 or more. A period is proportional to the count:
 * half way goes up. A frequency is not: f lies half way between those of n and n + 1 at 2n(n+1)/(2n+1) counts, a little
 * below n + 1/2; there the smaller count stays.
 */
export function nearestCount(of: TimerDrive['of'], num: bigint, den: bigint): bigint {
  const n = num / den;
  const rest = num % den;
  const up = of === 'frequency' ? rest * (2n * n + 1n) > n * den : 2n * rest >= den;
  return up ? n + 1n : n;
}

/**
 * The setting with the least error for a value above 0. Among equals, a prescaler that reaches the value goes before one
 * that is held at its end, then the lowest goes first, whose steps are the finest.
 */
export function timerSetting(drive: TimerDrive, value: Rational): TimerSetting {
  const counts = clockCounts(drive, value);
  const chain = isChain(drive.prescalers);
  const last = highestOf(drive.reloadBits) + 1n;
  let best: (TimerSetting & { readonly miss: bigint; readonly total: bigint }) | undefined;
  for (const [index, prescaler] of drive.prescalers.entries()) {
    const factor = BigInt(prescaler);
    const nearest = nearestCount(drive.of, counts.num, counts.den * factor);
    const reachable = drive.of === 'frequency' ? counts.num >= counts.den * factor : nearest >= 1n;
    const count = nearest < 1n ? 1n : nearest > last ? last : nearest;
    const held = !reachable || nearest > last;
    const total = factor * count;
    const off = counts.num - total * counts.den;
    const miss = off < 0n ? -off : off;
    if (best === undefined || closer(drive.of, { miss, total, held }, best)) best = { index, count, held, miss, total };
    // Every later step of a chain lies on a step of this one, or beyond its end.
    if (chain && !held) break;
  }
  bug(best !== undefined, 'a timer drive without prescalers');
  return { index: best.index, count: best.count, held: best.held };
}

/** Is `a` better than `b`, which comes first in the list? `miss` is the error in clock counts over a common denominator. */
function closer(
  of: TimerDrive['of'],
  a: { readonly miss: bigint; readonly total: bigint; readonly held: boolean },
  b: { readonly miss: bigint; readonly total: bigint; readonly held: boolean },
): boolean {
  // |clock/total - f| is proportional to miss/total.
  const [left, right] = of === 'frequency' ? [a.miss * b.total, b.miss * a.total] : [a.miss, b.miss];
  return left < right || (left === right && !a.held && b.held);
}

/** True when each factor divides the next, as those of common chips do (1, 8, 64, 256, 1024). */
export function isChain(factors: readonly number[]): boolean {
  return factors.every((factor, i) => i === 0 || factor % (factors[i - 1] ?? 1) === 0);
}

export function timerOutcome(drive: TimerDrive, value: Rational, unit: UnitCode): DriveOutcome {
  if (drive.of === 'frequency' && value.num <= 0n) {
    const limited = value.num < 0n ? limit('low', value, zero, 'a stopped timer', unit) : undefined;
    return outcome(value, zero, timerWords(drive, undefined), limited);
  }
  const span = timerSpan(drive);
  const setting = value.num <= 0n ? { index: 0, count: 1n, held: true } : timerSetting(drive, value);
  const produced = settingValue(drive, setting.index, setting.count);
  const end: End | undefined = compare(value, span.min) < 0 ? 'low' : compare(value, span.max) > 0 ? 'high' : undefined;
  const limited =
    end !== undefined && setting.held ? limit(end, value, produced, endName(drive, end), unit) : undefined;
  return outcome(value, produced, timerWords(drive, setting), limited);
}

function endName(drive: TimerDrive, end: End): string {
  const slow = (drive.of === 'frequency') === (end === 'low');
  return slow ? 'the highest reload and prescaler' : 'one count of the lowest prescaler';
}

/** The value of the words, as `timerWords` orders them. */
export function timerValue(drive: TimerDrive, words: readonly bigint[]): Rational {
  const rest = [...words];
  const run = drive.of === 'frequency' ? rest.shift() : 1n;
  const index = drive.prescalers.length > 1 ? rest.shift() : 0n;
  const reload = rest.shift();
  bug(run !== undefined && index !== undefined && reload !== undefined, 'too few words for a timer drive');
  return run === 0n ? zero : settingValue(drive, Number(index), reload + 1n);
}

/** Slowest to fastest running frequency, or shortest to longest period. A frequency of 0 is possible besides: stopped. */
export function timerSpan(drive: TimerDrive): PhysicalRange {
  const few = settingValue(drive, 0, 1n);
  const many = settingValue(drive, drive.prescalers.length - 1, highestOf(drive.reloadBits) + 1n);
  return drive.of === 'frequency' ? { min: many, max: few } : { min: few, max: many };
}

/**
 * The largest gap between neighbouring values of the timer that the range lies in or touches. Each prescaler counts as far
 * as no lower one reaches; where factors do not divide each other, values of others lie between its own, and the true gap
 * is smaller than this.
 */
export function timerResolution(drive: TimerDrive, range: PhysicalRange): Rational {
  const last = highestOf(drive.reloadBits) + 1n;
  const [fast, slow] = drive.of === 'frequency' ? [range.max, range.min] : [range.min, range.max];
  if (range.max.num <= 0n) return zero;
  const fewest = clockCounts(drive, fast);
  // A frequency of 0 or less is slower than any count.
  const most = slow.num > 0n ? clockCounts(drive, slow) : undefined;
  let widest = zero;
  const measure = (counts: bigint, a: Rational, b: Rational) => {
    const gap = absolute(subtract(a, b));
    const inRange = most === undefined || compare(rational(counts), most) <= 0;
    if (inRange && compare(gap, widest) > 0) widest = gap;
  };
  let reached = 0n;
  for (const [index, prescaler] of drive.prescalers.entries()) {
    const factor = BigInt(prescaler);
    if (reached > 0n && reached < factor && compare(rational(factor), fewest) >= 0) {
      // Between the last count of one prescaler and the first of the next there is nothing.
      measure(reached, settingValue(drive, index - 1, last), settingValue(drive, index, 1n));
    }
    // The fewest counts n whose gap to n + 1 is in the range and beyond what lower prescalers reach.
    const n = [1n, reached / factor, ceiling(divide(fewest, rational(factor))) - 1n].reduce((a, b) => (a > b ? a : b));
    if (n < last) measure(factor * n, settingValue(drive, index, n), settingValue(drive, index, n + 1n));
    reached = factor * last;
  }
  return widest;
}
