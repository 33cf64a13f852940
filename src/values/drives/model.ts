import type { Rational } from '../../base/rational.ts';

/**
 * A drive turns a characteristic's value into the register words of the chip and back. All its quantities are exact;
 * firmware does the same with integers alone (`plan.ts`). Words are rounded to the nearest, half way up. What a well
 * formed drive is, `drive-problem.ts` says.
 */
export type Drive =
  PhaseAccumulatorDrive | TimerDrive | PwmDutyDrive | PulseWidthDrive | DacDrive | AdcDrive | TableDrive;

export type DriveKind = Drive['kind'];

/** word = f * 2^width / clock, at most 2^(width-1): half the clock. The value is a frequency. */
export type PhaseAccumulatorDrive = {
  readonly kind: 'phase-accumulator';
  /** Accumulator width in bits, 8..64. */
  readonly width: number;
  /** Rate at which the word is added, hertz. */
  readonly clock: Rational;
};

/** f = clock / (prescaler * (reload + 1)). The value is a frequency or, with `of: period`, a time. */
export type TimerDrive = {
  readonly kind: 'timer';
  /** Hertz. */
  readonly clock: Rational;
  /** The prescaler factors the chip offers, ascending, at least one, each 1..2^32. */
  readonly prescalers: readonly number[];
  /** Width of the reload register in bits, 8..32. */
  readonly reloadBits: number;
  readonly of: 'frequency' | 'period';
};

/** level = value / full * (top + 1): the output is on for `level` of `top + 1` counts. */
export type PwmDutyDrive = {
  readonly kind: 'pwm-duty';
  /** Highest counter value, 1..2^32-1: the period is top + 1 counts. */
  readonly top: number;
  /** The physical value that means always on, above 0. */
  readonly full: Rational;
};

/** counts = clock * pulse width; the width runs in a straight line from one end to the other: a servo's travel. */
export type PulseWidthDrive = {
  readonly kind: 'pulse-width';
  /** Counter clock, hertz. */
  readonly clock: Rational;
  /** Register width in bits, 8..32. */
  readonly bits: number;
  /** `value` in the value's unit, `width` in seconds. Values and widths of the two ends differ. */
  readonly from: PulseEnd;
  readonly to: PulseEnd;
};

export type PulseEnd = { readonly value: Rational; readonly width: Rational };

/** code = value * 2^bits / (reference * gain), at most 2^bits - 1. */
export type DacDrive = {
  readonly kind: 'dac';
  /** 4..24. */
  readonly bits: number;
  /** Full-scale reference in the value's unit, above 0. */
  readonly reference: Rational;
  /** Gain behind the converter, not 0; negative for an inverting stage. */
  readonly gain: Rational;
};

/** The same line read backwards: value = reading * reference / (2^bits * gain). */
export type AdcDrive = {
  readonly kind: 'adc';
  /** 4..24. */
  readonly bits: number;
  /** Full-scale reference in the value's unit, above 0. */
  readonly reference: Rational;
  /** Gain before the converter, not 0. */
  readonly gain: Rational;
};

/** Straight lines between points; constant outside them. */
export type TableDrive = {
  readonly kind: 'table';
  /** Register width in bits, 8..32. */
  readonly bits: number;
  /** At least two, values strictly rising; each word fits `bits`. */
  readonly points: readonly TablePoint[];
};

export type TablePoint = { readonly value: Rational; readonly word: number };

/** True for drives that act on the world; an ADC only looks at it. */
export function actsOnWorld(drive: Drive): boolean {
  return drive.kind !== 'adc';
}
