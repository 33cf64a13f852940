import { bug } from '../../base/bug.ts';
import { absolute, compare, divide, multiply, rational, subtract, zero, type Rational } from '../../base/rational.ts';
import type { PhysicalRange, UnitCode } from '../type.ts';
import { valueOnLine, valuePerWord, wordOnLine, type Line } from './line.ts';
import type { TableDrive, TablePoint } from './model.ts';
import { limit, outcome, type DriveOutcome, type WordShape } from './outcome.ts';

/** The line between two neighbouring points. Inclusive values; the slope is 0 where both have the same word. */
export type TableLine = Line & { readonly from: Rational; readonly to: Rational };

export function tableWord(drive: TableDrive): WordShape {
  return { name: 'word', bits: drive.bits };
}

/** Ascending by value; linear interpolation. */
export function tableLines(drive: TableDrive): readonly TableLine[] {
  return drive.points.slice(1).map((right, index) => {
    const left = drive.points[index];
    bug(left !== undefined, 'a table line without its left point');
    return lineBetween(left, right);
  });
}

function lineBetween(left: TablePoint, right: TablePoint): TableLine {
  const slope = divide(rational(right.word - left.word), subtract(right.value, left.value));
  return {
    slope,
    offset: subtract(rational(left.word), multiply(slope, left.value)),
    lowest: BigInt(Math.min(left.word, right.word)),
    highest: BigInt(Math.max(left.word, right.word)),
    from: left.value,
    to: right.value,
  };
}

export function tableOutcome(drive: TableDrive, value: Rational, unit: UnitCode): DriveOutcome {
  const shape = tableWord(drive);
  const { min, max } = tableSpan(drive);
  const end = compare(value, min) < 0 ? 'low' : compare(value, max) > 0 ? 'high' : undefined;
  if (end !== undefined) {
    const point = drive.points.at(end === 'low' ? 0 : -1);
    bug(point !== undefined, 'a table drive without points');
    const what = `the ${end === 'low' ? 'first' : 'last'} point of the table`;
    const words = [{ ...shape, value: BigInt(point.word) }];
    return outcome(value, point.value, words, limit(end, value, point.value, what, unit));
  }
  const line = tableLines(drive).find((part) => compare(value, part.to) <= 0);
  bug(line !== undefined, 'a value within the table without a line');
  const { word } = wordOnLine(line, value);
  const produced = line.slope.num === 0n ? value : valueOnLine(line, word);
  return outcome(value, produced, [{ ...shape, value: word }], undefined);
}

/**
 * The value a word stands for: on the first line, by value, that passes through the word; where a line is level, its lower
 * value. A word that no line passes gives the value of the point with the nearest word.
 */
export function tableValue(drive: TableDrive, word: bigint): Rational {
  const line = tableLines(drive).find((part) => part.lowest <= word && word <= part.highest);
  if (line !== undefined) return line.slope.num === 0n ? line.from : valueOnLine(line, word);
  const distance = (point: TablePoint) => absolute(rational(BigInt(point.word) - word));
  const nearest = drive.points.reduce((a, b) => (compare(distance(b), distance(a)) < 0 ? b : a));
  return nearest.value;
}

export function tableSpan(drive: TableDrive): PhysicalRange {
  const first = drive.points.at(0);
  const last = drive.points.at(-1);
  bug(first !== undefined && last !== undefined, 'a table drive without points');
  return { min: first.value, max: last.value };
}

/** The coarsest step on the lines that the range touches; a level line counts with its whole length. */
export function tableResolution(drive: TableDrive, range: PhysicalRange): Rational {
  return tableLines(drive)
    .filter((line) => compare(line.from, range.max) <= 0 && compare(line.to, range.min) >= 0)
    .map((line) => (line.slope.num === 0n ? subtract(line.to, line.from) : valuePerWord(line)))
    .reduce((a, b) => (compare(a, b) >= 0 ? a : b), zero);
}
