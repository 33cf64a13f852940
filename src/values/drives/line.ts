import {
  absolute,
  add,
  compare,
  divide,
  floor,
  multiply,
  one,
  rational,
  subtract,
  type Rational,
} from '../../base/rational.ts';

/** A register word that runs in a straight line of the value: word = slope * value + offset, rounded and kept in range. */
export type Line = {
  /** Words per unit of the value; may be negative, or 0 for a constant. */
  readonly slope: Rational;
  /** Word at the value 0. */
  readonly offset: Rational;
  /** Inclusive. */
  readonly lowest: bigint;
  readonly highest: bigint;
};

/** Which end of its span a drive stopped at: `low` for a value that is too small, whatever the slope. */
export type End = 'low' | 'high';

export const half: Rational = { num: 1n, den: 2n };

/** The nearest integer; exactly half way goes up, as adding a half before a shift does in firmware. */
export function nearestWord(real: Rational): bigint {
  return floor(add(real, half));
}

/** The exact, unrounded, unlimited word. */
export function realWord(line: Line, value: Rational): Rational {
  return add(multiply(line.slope, value), line.offset);
}

/** The nearest word in range; `beyond` says which end of the values it was held at. */
export function wordOnLine(line: Line, value: Rational): { readonly word: bigint; readonly beyond: End | undefined } {
  const word = nearestWord(realWord(line, value));
  const rising = line.slope.num >= 0n;
  if (word < line.lowest) return { word: line.lowest, beyond: rising ? 'low' : 'high' };
  if (word > line.highest) return { word: line.highest, beyond: rising ? 'high' : 'low' };
  return { word, beyond: undefined };
}

/** The value that a word stands for. The slope is not 0. */
export function valueOnLine(line: Line, word: bigint): Rational {
  return divide(subtract(rational(word), line.offset), line.slope);
}

/** What one step of the word changes in the value. The slope is not 0. */
export function valuePerWord(line: Line): Rational {
  return absolute(divide(one, line.slope));
}

/** The values of the lowest and highest word, ascending. The slope is not 0. */
export function lineSpan(line: Line): { readonly min: Rational; readonly max: Rational } {
  const a = valueOnLine(line, line.lowest);
  const b = valueOnLine(line, line.highest);
  return compare(a, b) <= 0 ? { min: a, max: b } : { min: b, max: a };
}

/** The highest word of a register of so many bits. */
export function highestOf(bits: number): bigint {
  return (1n << BigInt(bits)) - 1n;
}
