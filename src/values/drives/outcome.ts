import { absolute, divide, subtract, type Rational } from '../../base/rational.ts';
import { showQuantity } from '../show-number.ts';
import type { UnitCode } from '../type.ts';
import type { End, Line } from './line.ts';

/** One register word, unsigned. */
export type DriveWord = WordShape & { readonly value: bigint };

/** `name` in kebab case: `tuning-word`, `reload`. */
export type WordShape = { readonly name: string; readonly bits: number };

/** What a drive makes of one value. All numbers in the value's unit. */
export type DriveOutcome = {
  /** In the order of `driveWords`. */
  readonly words: readonly DriveWord[];
  /** The value that the chip really produces with these words. */
  readonly produced: Rational;
  /** Produced minus asked. */
  readonly error: Rational;
  /** Error as a fraction of the value asked; `undefined` for the value 0. */
  readonly relative: Rational | undefined;
  /** Set when the value asked is beyond what the drive produces, and the words are those of that end. */
  readonly limited: DriveLimit | undefined;
};

export type DriveLimit = {
  readonly end: End;
  /** A sentence part: `12000 Hz is above 10000 Hz, half the clock`. */
  readonly message: string;
};

/** Sentence parts that say what the two ends of a drive are: `half the clock`. */
export type EndNames = { readonly low: string; readonly high: string };

/** A line whose slope is not 0, with the register it belongs to. */
export type DriveLine = Line & { readonly word: WordShape; readonly ends: EndNames };

export function outcome(
  asked: Rational,
  produced: Rational,
  words: readonly DriveWord[],
  limited: DriveLimit | undefined,
): DriveOutcome {
  const error = subtract(produced, asked);
  const relative = asked.num === 0n ? undefined : divide(error, absolute(asked));
  return { words, produced, error, relative, limited };
}

/** `asked` was beyond `bound`. */
export function limit(end: End, asked: Rational, bound: Rational, what: string, unit: UnitCode): DriveLimit {
  const beyond = end === 'low' ? 'below' : 'above';
  return { end, message: `${showQuantity(asked, unit)} is ${beyond} ${showQuantity(bound, unit)}, ${what}` };
}
