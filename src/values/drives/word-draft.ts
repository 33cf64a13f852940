import { absolute, ceiling, divide, floor, multiply, zero, type Rational } from '../../base/rational.ts';
import type { CodeRange } from '../scale.ts';
import { highestOf, valueOnLine, valuePerWord, type End, type Line } from './line.ts';
import { clamp, lineDrafts, onLine, type InputLine } from './line-draft.ts';
import { driveLine, type LinearDrive } from './linear.ts';
import type { AdcDrive, TableDrive } from './model.ts';
import { heldDraft, type Draft } from './plan-draft.ts';
import { tableLines } from './table.ts';

/**
 * Segments for a drive with one word on one line.
 *
 * @param factor physical value of one code, not 0
 * @returns `undefined` when 64 bits do not hold the arithmetic; so for the other functions here
 */
export function linearDrafts(
  drive: Exclude<LinearDrive, AdcDrive>,
  factor: Rational,
  codes: CodeRange,
): readonly Draft[] | undefined {
  return lineDrafts(inCodes(driveLine(drive), factor), codes, lowEnd(factor));
}

/** From the reading to the nearest code, held within the codes that the type allows. */
export function adcDrafts(drive: AdcDrive, factor: Rational, codes: CodeRange): readonly Draft[] | undefined {
  const valueOfOne = valueOnLine(driveLine(drive), 1n);
  const line: InputLine = {
    slope: divide(valueOfOne, factor),
    offset: zero,
    lowest: codes.min,
    highest: codes.max,
    valuePerWord: absolute(factor),
    before: [],
  };
  return lineDrafts(line, { min: 0n, max: highestOf(drive.bits) }, lowEnd(valueOfOne));
}

/** A segment for each line of the table, and one for each constant end. */
export function tableDrafts(drive: TableDrive, factor: Rational, codes: CodeRange): readonly Draft[] | undefined {
  const rising = factor.num > 0n;
  const byValue = tableLines(drive);
  const lines = rising ? byValue : byValue.toReversed();
  const words = drive.points.map((point) => BigInt(point.word));
  const [first = 0n, last = 0n] = rising ? [words.at(0), words.at(-1)] : [words.at(-1), words.at(0)];
  const drafts: Draft[] = [];
  let next = codes.min;
  for (const [i, line] of lines.entries()) {
    const [from, to] = rising ? [line.from, line.to] : [line.to, line.from];
    if (i === 0) {
      const start = clamp(ceiling(divide(from, factor)), codes.min, codes.max + 1n);
      drafts.push(...heldDraft(codes.min, start - 1n, lowEnd(factor), [first]));
      next = start;
    }
    // A code that is exactly at a point has the same word on both lines.
    const end = clamp(floor(divide(to, factor)) + 1n, next, codes.max + 1n);
    if (next === end) continue;
    const made = onLine(inCodes(line, factor), next, end - 1n);
    if (made === undefined) return undefined;
    drafts.push(...made);
    next = end;
  }
  return [...drafts, ...heldDraft(next, codes.max, rising ? 'high' : 'low', [last])];
}

function inCodes(line: Line, factor: Rational): InputLine {
  return {
    slope: multiply(line.slope, factor),
    offset: line.offset,
    lowest: line.lowest,
    highest: line.highest,
    valuePerWord: line.slope.num === 0n ? zero : valuePerWord(line),
    before: [],
  };
}

/** The end of the values at which small codes are. */
function lowEnd(factor: Rational): End {
  return factor.num > 0n ? 'low' : 'high';
}
