import type { Rational } from '../../base/rational.ts';

/**
 * A drive turns a characteristic's coded value into a register word of the chip and back. All its quantities are exact;
 * firmware does the same with integers alone (`integer-plan.ts`).
 */
export type Drive =
  PhaseAccumulatorDrive | TimerDrive | PwmDutyDrive | PulseWidthDrive | DacDrive | AdcDrive | TableDrive;

export type DriveKind = Drive['kind'];

/** word = f * 2^width / clock. The value is a frequency in hertz. */
export type PhaseAccumulatorDrive = {
  readonly kind: 'phase-accumulator';
  /** Accumulator width in bits, 8..64. */
  readonly width: number;
  /** Sample clock, hertz. */
  readonly clock: Rational;
};

/** f = clock / (prescaler * (reload + 1)). The value is a frequency (hertz) or, with `of: period`, a time (seconds). */
export type TimerDrive = {
  readonly kind: 'timer';
  /** Hertz. */
  readonly clock: Rational;
  /** The prescaler factors the chip offers, ascending. */
  readonly prescalers: readonly number[];
  /** Width of the reload register in bits, 8..32. */
  readonly reloadBits: number;
  readonly of: 'frequency' | 'period';
};

/** duty = level / (top + 1). The value is a fraction of `full` (1, or 100 for a percentage). */
export type PwmDutyDrive = {
  readonly kind: 'pwm-duty';
  /** Highest counter value, 1..2^32-1: the period is top + 1 counts. */
  readonly top: number;
  /** The physical value that means always on. */
  readonly full: Rational;
};

/** word = width * clock. The value is a time in `unit seconds` given by the contract's unit; here in seconds. */
export type PulseWidthDrive = {
  readonly kind: 'pulse-width';
  /** Counter clock, hertz. */
  readonly clock: Rational;
  /** Register width in bits, 8..32. */
  readonly bits: number;
  /** Pulse width in seconds at the value `from`, and at the value `to`: a servo's ends. */
  readonly from: { readonly value: Rational; readonly width: Rational };
  readonly to: { readonly value: Rational; readonly width: Rational };
};

/** code = value * 2^bits / reference, at most 2^bits - 1. */
export type DacDrive = {
  readonly kind: 'dac';
  /** 4..24. */
  readonly bits: number;
  /** Full-scale reference in the value's unit. */
  readonly reference: Rational;
  /** Gain behind the converter: value at the output = code / 2^bits * reference * gain. */
  readonly gain: Rational;
};

/** The same line read backwards: value = code * reference / 2^bits / gain. */
export type AdcDrive = {
  readonly kind: 'adc';
  readonly bits: number;
  readonly reference: Rational;
  /** Gain before the converter. */
  readonly gain: Rational;
};

/** Straight lines between points; constant outside them. Values strictly rising. */
export type TableDrive = {
  readonly kind: 'table';
  /** Register width in bits, 8..32. */
  readonly bits: number;
  readonly points: readonly { readonly value: Rational; readonly word: number }[];
};

/** True for drives that act on the world; an ADC only looks at it. */
export function actsOnWorld(drive: Drive): boolean {
  return drive.kind !== 'adc';
}
