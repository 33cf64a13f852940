import {
  add,
  ceiling,
  compare,
  decimalPlaces,
  divide,
  floor,
  fromDouble,
  multiply,
  powerOf,
  rational,
  roundHalfEven,
  subtract,
  toDouble,
  type Rational,
} from '../../base/rational.ts';
import { resolution } from '../../values/scale.ts';
import type { FloatType, IntegerType, PhysicalRange } from '../../values/type.ts';
import { fixedDecimal, scientific } from './decimal.ts';

export type Tick = {
  readonly value: Rational;
  /** 0..1 from the scale's left end. */
  readonly at: number;
  /** Empty for the small ticks. */
  readonly label: string;
};

/** A dial's scale: from round to round value, the allowed range within. */
export type DialScale = {
  readonly from: Rational;
  readonly to: Rational;
  readonly allowed: PhysicalRange;
  /** Where the allowed range begins and ends, 0..1. */
  readonly band: { readonly start: number; readonly end: number };
  readonly ticks: readonly Tick[];
};

/** Labelled ticks at most, without the first. */
const mostMajors = 6;

/** The smallest of 1, 2, 5 × 10^n that is not below `least`, which is above 0. */
export function roundStep(least: Rational): Rational {
  let exponent = Math.floor(Math.log10(toDouble(least))) - 1;
  for (;;) {
    for (const digit of [1n, 2n, 5n]) {
      const step = multiply(rational(digit), powerOf(10n, exponent));
      if (compare(step, least) >= 0) return step;
    }
    exponent += 1;
  }
}

/** Ticks at round values over the range: at most seven with a label, finer ones between. */
export function dialScale(allowed: PhysicalRange): DialScale {
  const span = subtract(allowed.max, allowed.min);
  const size = span.num > 0n ? span : rational(1);
  const major = roundStep(divide(size, rational(mostMajors)));
  const first = floor(divide(allowed.min, major));
  const last = ceiling(divide(allowed.max, major));
  const end = last > first ? last : first + 1n;
  const from = multiply(rational(first), major);
  const to = multiply(rational(end), major);
  const parts = finerParts(major, Number(end - first));
  const ticks: Tick[] = [];
  const count = Number(end - first) * parts;
  const minor = divide(major, rational(parts));
  for (let i = 0; i <= count; i++) {
    const value = add(from, multiply(rational(i), minor));
    ticks.push({ value, at: i / count, label: i % parts === 0 ? tickLabel(value, major) : '' });
  }
  const scale = { from, to, allowed, band: { start: 0, end: 1 }, ticks };
  return { ...scale, band: { start: fractionOf(scale, allowed.min), end: fractionOf(scale, allowed.max) } };
}

/** Into how many parts the room between two labels is divided: tenths where there is room, else fifths or quarters. */
function finerParts(major: Rational, majors: number): number {
  const digit = (major.num > major.den ? major.num : major.den).toString()[0];
  // 1 / 5 × 10^n is written 0.2, and 1 / 2 is 0.5.
  const leading = major.num >= major.den ? digit : digit === '5' ? '2' : digit === '2' ? '5' : digit;
  if (leading === '2') return 4;
  return leading === '1' && majors <= 4 ? 10 : 5;
}

function tickLabel(value: Rational, step: Rational): string {
  const places = decimalPlaces(step.den) ?? 0;
  const size = Math.abs(toDouble(value));
  if (value.num !== 0n && (places > 4 || size >= 1e6)) return scientific(toDouble(value)).replace(/\.?0+×/, '×');
  return value.num === 0n ? '0' : fixedDecimal(value, places);
}

/** Where a value stands on the scale: 0..1, at the ends for what lies beyond them. */
export function fractionOf({ from, to }: Pick<DialScale, 'from' | 'to'>, value: Rational): number {
  const at = toDouble(divide(subtract(value, from), subtract(to, from)));
  return Math.min(1, Math.max(0, at));
}

/** How far a key or a finger moves a value. */
export type Steps = {
  /** What an arrow key adds. */
  readonly fine: Rational;
  /** What Page Up adds. */
  readonly coarse: Rational;
  /** What a dragged hand snaps to. */
  readonly drag: Rational;
};

export function stepsOf(type: IntegerType | FloatType, { min, max }: PhysicalRange): Steps {
  const span = subtract(max, min);
  const size = span.num > 0n ? span : rational(1);
  const finest = type.step ?? resolution(type) ?? roundStep(divide(size, rational(1000)));
  const atLeast = (parts: number): Rational => {
    const wanted = divide(size, rational(parts));
    return compare(wanted, finest) > 0 ? roundStep(wanted) : finest;
  };
  return { fine: finest, coarse: atLeast(20), drag: atLeast(400) };
}

/** The value at a place on the scale, on a multiple of `step` and within what is allowed. */
export function valueAt(scale: DialScale, fraction: number, step: Rational): Rational {
  const along = multiply(fromDouble(Math.min(1, Math.max(0, fraction))), subtract(scale.to, scale.from));
  return within(scale.allowed, snapped(add(scale.from, along), step));
}

/** The value moved by `count` steps, within what is allowed; a value between two steps goes to the next one. */
export function moved(value: Rational, count: number, step: Rational, allowed: PhysicalRange): Rational {
  const steps = divide(value, step);
  const whole = count > 0 ? floor(steps) : ceiling(steps);
  return within(allowed, multiply(rational(whole + BigInt(count)), step));
}

function snapped(value: Rational, step: Rational): Rational {
  return multiply(rational(roundHalfEven(divide(value, step))), step);
}

function within({ min, max }: PhysicalRange, value: Rational): Rational {
  if (compare(value, min) < 0) return min;
  return compare(value, max) > 0 ? max : value;
}
