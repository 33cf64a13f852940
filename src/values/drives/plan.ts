import type { Rational } from '../../base/rational.ts';
import type { DriveKind } from './model.ts';
import type { WordShape } from './outcome.ts';
import type { End } from './line.ts';

/**
 * Integer-only arithmetic from a coded value to register words, as plain data that firmware is printed from. A plan finds
 * the segment that the input lies in and does its steps; nothing in it can overflow or divide by zero.
 *
 * For an ADC it runs the other way, from the reading to the coded value; "words" are then coded values.
 */
export type IntegerPlan = {
  readonly kind: DriveKind;
  readonly input: PlanInput;
  readonly words: readonly PlanWord[];
  /** Ascending, without gaps, from the input's least to its greatest value. */
  readonly segments: readonly PlanSegment[];
  /** The widest integer that any step needs. */
  readonly intermediateBits: 32 | 64;
  /**
   * The farthest that a word lies from the exact real number it stands for, in steps of that word: 1/2 when all are the
   * nearest. Inputs beyond the drive's span (`limited` segments) do not count.
   */
  readonly worstErrorWords: Rational;
  /** The farthest that the produced value lies from the value asked, in the value's unit; `limited` segments do not count. */
  readonly worstErrorValue: Rational;
  /** `exhaustive`: every input was tried. `bound`: derived, and may be more than really happens. */
  readonly proof: 'exhaustive' | 'bound';
  /** The first input with the worst word; `undefined` for a bound. */
  readonly at: bigint | undefined;
  /** True when the words are proved to be those of `driveOutput` for every input. */
  readonly exact: boolean;
};

export type PlanInput = {
  /** `code`: the coded value. `reading`: what the ADC gives. */
  readonly name: 'code' | 'reading';
  readonly signed: boolean;
  readonly bits: number;
  /** Inclusive; what the type's range allows. */
  readonly from: bigint;
  readonly to: bigint;
};

export type PlanWord = WordShape & { readonly signed: boolean };

export type PlanSegment = {
  /** Inclusive inputs. */
  readonly from: bigint;
  readonly to: bigint;
  /** Set where the drive is held at an end of its span. */
  readonly limited: End | undefined;
  readonly steps: readonly PlanStep[];
  /** One a word, in the order of the plan's words. */
  readonly words: readonly PlanNumber[];
};

/** `step`: the result of an earlier step of the segment, by index. */
export type PlanNumber =
  | { readonly kind: 'input' }
  | { readonly kind: 'constant'; readonly value: bigint }
  | { readonly kind: 'step'; readonly index: number };

/** `greater` gives 1 or 0. `divide` and `remainder` have no negative operand; `shift-right` is by a constant. */
export type PlanOperation =
  'add' | 'subtract' | 'multiply' | 'divide' | 'remainder' | 'shift-right' | 'greater' | 'minimum';

/** One operation on integers of one width: both operands and the result fit `bits`, `signed`. */
export type PlanStep = {
  /** What the result is, for a reader: `offset code`, `product`. */
  readonly name: string;
  readonly operation: PlanOperation;
  readonly left: PlanNumber;
  readonly right: PlanNumber;
  readonly signed: boolean;
  readonly bits: 32 | 64;
  /** Inclusive bounds that the result is proved to keep. */
  readonly least: bigint;
  readonly greatest: bigint;
};
