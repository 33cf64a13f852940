import {
  compare,
  divide,
  isInteger,
  multiply,
  parseRational,
  rational,
  ceiling,
  type Rational,
} from '../../base/rational.ts';
import { showTime, us, type Microseconds } from '../../base/quantity.ts';
import type { TimeRange } from '../model.ts';
import { describe, type Node, type ScalarNode } from '../tree.ts';
import { bounds } from './composite.ts';
import { notAboveZero, notInSteps, outOfBounds, quantityForm, tooFine } from './findings.ts';
import { isWord } from './scalars.ts';
import { either, map, shape, type Shape, type Spot } from './shape.ts';

/** Microseconds in each unit of time that a contract writes. */
const timeUnits: Readonly<Record<string, number>> = {
  us: 1,
  ms: 1000,
  s: 1_000_000,
  min: 60_000_000,
  h: 3_600_000_000,
};

/** Hertz in each unit of frequency. */
const frequencyUnits: Readonly<Record<string, number>> = { Hz: 1, kHz: 1000, MHz: 1_000_000 };

/** Microseconds in what a rate counts by. */
const rateUnits: Readonly<Record<string, number>> = { s: 1_000_000, min: 60_000_000, h: 3_600_000_000 };

const numberPattern = '[0-9]+(?:\\.[0-9]+)?';

/** Longest time in a contract: a day. */
const longest = us(86_400_000_000);

export type TimeLimits = {
  readonly min?: Microseconds;
  readonly max?: Microseconds;
  /** The air counts in whole steps of this. */
  readonly step?: Microseconds;
};

/** A number and `us`, `ms`, `s`, `min` or `h`, in whole microseconds. */
export function time(limits: TimeLimits = {}): Shape<Microseconds> {
  return shape({
    wanted: 'a time',
    fits: isWord,
    read(node, spot) {
      if (!isWord(node)) return undefined;
      const value = parseTime(node.text);
      if (value === undefined) {
        reportForm(node, spot, 'a time', Object.keys(timeUnits), suggestTime(node));
        return undefined;
      }
      return checkTime(value, node, spot, limits);
    },
    schema: () => ({ type: 'string', pattern: `^${numberPattern} *(?:${Object.keys(timeUnits).join('|')})$` }),
  });
}

/** One time, or `[MIN, MAX]`. */
export function timeRange(limits: TimeLimits = {}): Shape<TimeRange> {
  const single = map(time(limits), (value): TimeRange => ({ min: value, max: value }));
  return either(
    single,
    bounds(time(limits), (a, b) => a - b, showTime, 'a range of times [MIN, MAX]'),
  );
}

/** Microseconds, not yet whole; `undefined` when the text is no time. */
export function parseTime(text: string): Rational | undefined {
  return parseQuantity(text, timeUnits);
}

/** A time that is whole, within its limits and in steps; or a finding. */
export function checkTime(value: Rational, node: ScalarNode, spot: Spot, limits: TimeLimits): Microseconds | undefined {
  const { min = us(0), max = longest, step } = limits;
  if (compare(value, rational(min)) < 0 || compare(value, rational(max)) > 0) {
    spot.report(outOfBounds.at(node.at, { name: spot.name, found: node.text, min: showTime(min), max: showTime(max) }));
    return undefined;
  }
  if (!isInteger(value)) {
    spot.report(tooFine.at(node.at, { name: spot.name, found: node.text }));
    return undefined;
  }
  const micros = us(Number(value.num));
  if (step === undefined || micros % step === 0) return micros;
  const below = us(micros - (micros % step));
  const args = {
    name: spot.name,
    found: node.text,
    step: showTime(step),
    below: showTime(below),
    above: showTime(us(below + step)),
  };
  spot.report(notInSteps.at(node.at, args));
  return undefined;
}

/** A number and `Hz`, `kHz` or `MHz`; above zero. In hertz, exact. */
export const frequency: Shape<Rational> = shape({
  wanted: 'a frequency',
  fits: isWord,
  read(node, spot) {
    if (!isWord(node)) return undefined;
    const value = parseQuantity(node.text, frequencyUnits);
    if (value === undefined) {
      reportForm(node, spot, 'a frequency', Object.keys(frequencyUnits), '20 kHz');
      return undefined;
    }
    return aboveZero(value, 'a frequency', node, spot);
  },
  schema: () => ({ type: 'string', pattern: `^${numberPattern} *(?:${Object.keys(frequencyUnits).join('|')})$` }),
});

/**
 * How often something may happen: `10 Hz`, or `6 per min`. Gives the shortest spacing, rounded up to whole microseconds,
 * so that the rate is never exceeded.
 */
export const rate: Shape<Microseconds> = shape({
  wanted: 'a rate',
  fits: isWord,
  read(node, spot) {
    if (!isWord(node)) return undefined;
    const found = parseRate(node.text);
    if (found === undefined) {
      reportForm(node, spot, 'a rate', ['Hz', 'per s', 'per min', 'per h'], '10 Hz');
      return undefined;
    }
    if (aboveZero(found.count, 'a rate', node, spot) === undefined) return undefined;
    const spacing = ceiling(divide(rational(found.per), found.count));
    if (spacing <= BigInt(longest)) return us(Number(spacing));
    spot.report(outOfBounds.at(node.at, { name: spot.name, found: node.text, min: '1 per day', max: '1000000 Hz' }));
    return undefined;
  },
  schema: () => ({ type: 'string', pattern: `^${numberPattern} *(?:Hz|per (?:${Object.keys(rateUnits).join('|')}))$` }),
});

function parseRate(text: string): { count: Rational; per: number } | undefined {
  const hertz = parseQuantity(text, { Hz: 1 });
  if (hertz !== undefined) return { count: hertz, per: 1_000_000 };
  const match = /^(.*\S) *per (s|min|h)$/.exec(text);
  const count = parseQuantity(`${match?.[1] ?? ''} x`, { x: 1 });
  const per = rateUnits[match?.[2] ?? ''];
  return count === undefined || per === undefined ? undefined : { count, per };
}

function parseQuantity(text: string, units: Readonly<Record<string, number>>): Rational | undefined {
  const match = /^([0-9]{1,15}(?:\.[0-9]{1,15})?) *([A-Za-z]+)$/.exec(text);
  const factor = Object.hasOwn(units, match?.[2] ?? '') ? units[match?.[2] ?? ''] : undefined;
  const value = parseRational(match?.[1] ?? '');
  return value === undefined || factor === undefined ? undefined : multiply(value, rational(factor));
}

function aboveZero(value: Rational, what: string, node: ScalarNode, spot: Spot): Rational | undefined {
  if (value.num > 0n) return value;
  spot.report(notAboveZero.at(node.at, { name: spot.name, found: node.text, what }));
  return undefined;
}

function reportForm(node: Node, spot: Spot, what: string, units: readonly string[], example: string): void {
  spot.report(quantityForm.at(node.at, { name: spot.name, found: describe(node), what, units, example }));
}

/** The same number with a unit, when there is one. */
function suggestTime(node: ScalarNode): string {
  const micro = /^([0-9.]+) *(?:µs|μs|usec)$/.exec(node.text)?.[1];
  if (micro !== undefined) return `${micro} us`;
  return /^[0-9]+(?:\.[0-9]+)?$/.test(node.text) && node.text.length < 8 ? `${node.text} ms` : '30 ms';
}
