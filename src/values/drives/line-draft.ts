import { add, ceiling, divide, floor, multiply, rational, subtract, zero, type Rational } from '../../base/rational.ts';
import type { CodeRange } from '../scale.ts';
import { affineSteps } from './affine-plan.ts';
import { half, type End, type Line } from './line.ts';
import { constantNumber, heldDraft, type Draft } from './plan-draft.ts';

/** A line as a function of the plan's input: slope and offset count inputs, not values. */
export type InputLine = Line & {
  readonly valuePerWord: Rational;
  /** Words of the plan that stand before the one on the line. */
  readonly before: readonly bigint[];
};

/**
 * Segments for the inputs of `range`: the line where its nearest word is in range, and the ends where it is not.
 *
 * @param low the end of the values at which small inputs are
 * @returns `undefined` when 64 bits do not hold the line
 */
export function lineDrafts(line: InputLine, range: CodeRange, low: End): readonly Draft[] | undefined {
  const inside = inputsInside(line);
  const start = clamp(inside.min, range.min, range.max + 1n);
  const end = clamp(inside.max + 1n, start, range.max + 1n);
  const [first, last] = line.slope.num > 0n ? [line.lowest, line.highest] : [line.highest, line.lowest];
  const middle = start < end ? onLine(line, start, end - 1n) : [];
  if (middle === undefined) return undefined;
  return [
    ...heldDraft(range.min, start - 1n, low, [...line.before, first]),
    ...middle,
    ...heldDraft(end, range.max, low === 'low' ? 'high' : 'low', [...line.before, last]),
  ];
}

/** The one segment of inputs whose nearest words are all in the line's range. */
export function onLine(line: InputLine, from: bigint, to: bigint): readonly Draft[] | undefined {
  const { slope, offset, valuePerWord, before } = line;
  const level = { steps: [], word: constantNumber(line.lowest), nearest: true, bound: zero };
  const made = slope.num === 0n ? level : affineSteps({ from, to, slope, offset });
  if (made === undefined) return undefined;
  const words = [...before.map(constantNumber), made.word];
  return [
    {
      segment: { from, to, limited: undefined, steps: made.steps, words },
      ideal: { kind: 'line', word: before.length, slope, offset, valuePerWord },
      exact: made.nearest,
      bound: { words: made.bound, value: multiply(made.bound, valuePerWord) },
    },
  ];
}

/** Inputs whose nearest word lies in range: lowest - 1/2 <= slope * input + offset < highest + 1/2. May be empty. */
function inputsInside(line: Line): CodeRange {
  const atLowest = divide(subtract(subtract(rational(line.lowest), half), line.offset), line.slope);
  const pastHighest = divide(subtract(add(rational(line.highest), half), line.offset), line.slope);
  return line.slope.num > 0n
    ? { min: ceiling(atLowest), max: ceiling(pastHighest) - 1n }
    : { min: floor(pastHighest) + 1n, max: floor(atLowest) };
}

/** `value` moved into `low` to `high`. */
export function clamp(value: bigint, low: bigint, high: bigint): bigint {
  return value < low ? low : value > high ? high : value;
}
