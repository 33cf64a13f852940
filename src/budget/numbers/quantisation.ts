import {
  absolute,
  compare,
  divide,
  multiply,
  powerOf,
  rational,
  subtract,
  toDouble,
  type Rational,
} from '../../base/rational.ts';
import { driveResolution } from '../../values/drives/drive.ts';
import { integerPlan } from '../../values/drives/integer-plan.ts';
import type { Drive } from '../../values/drives/model.ts';
import { codedRange, fullRange, resolution, scaleFactor } from '../../values/physical.ts';
import type { FloatFormat, FloatType, IntegerType, UnitCode } from '../../values/type.ts';

/** How finely a number is coded. Exact, in the type's unit. */
export type Quantisation = {
  readonly unit: UnitCode;
  /** Between neighbouring codes; for a float at the largest number of its range. `undefined`: grows with the number. */
  readonly resolution: Rational | undefined;
  /** The farthest that the coded value can lie from one asked for in the range. `undefined`: grows with the number. */
  readonly worst: Rational | undefined;
  /** The farthest as a share of the number itself; only for floats. */
  readonly relative: Rational | undefined;
  /** Codes that the range allows, of all that the width has; only for integers. */
  readonly codes: { readonly used: bigint; readonly all: bigint } | undefined;
  /** The step that the contract wishes, and whether the coding reaches it. */
  readonly wished: { readonly step: Rational; readonly reached: boolean } | undefined;
};

/** Digits of the mantissa, in bits with the hidden one. IEEE 754 table 3.5. */
const mantissaBits = { float32: 24, float64: 53 } as const;
/** The largest mantissa and the exponents. IEEE 11073-20601 Annex F: 2^11 - 3 and 2^23 - 3. */
const decimals = {
  medfloat16: { mantissa: 2045n, lowest: -8, highest: 7 },
  medfloat32: { mantissa: 8_388_605n, lowest: -128, highest: 127 },
} as const;

export function quantisation(type: IntegerType | FloatType): Quantisation {
  const step = type.kind === 'integer' ? (resolution(type) ?? scaleFactor(type.scale)) : floatStep(type);
  return {
    unit: type.unit,
    resolution: step,
    worst: type.kind === 'integer' ? worstOfInteger(type, step ?? rational(1)) : step && halfOf(step),
    relative: type.kind === 'float' ? relativeOf(type.format) : undefined,
    codes: type.kind === 'integer' ? codesOf(type) : undefined,
    wished:
      type.step === undefined
        ? undefined
        : { step: type.step, reached: step !== undefined && compare(step, type.step) <= 0 },
  };
}

function halfOf(value: Rational): Rational {
  return multiply(value, rational(1, 2));
}

/** Half a step, or more where a bound of the range lies between two codes: then the nearest code inside is taken. */
function worstOfInteger(type: IntegerType, step: Rational): Rational {
  const { min, max } = codedRange(type);
  const factor = scaleFactor(type.scale);
  const ends = [multiply(rational(min), factor), multiply(rational(max), factor)].sort(compare);
  const low = absolute(subtract(ends[0] ?? type.range.min, type.range.min));
  const high = absolute(subtract(type.range.max, ends[1] ?? type.range.max));
  return [halfOf(step), low, high].reduce((a, b) => (compare(a, b) >= 0 ? a : b));
}

function codesOf(type: IntegerType): Quantisation['codes'] {
  const { min, max } = codedRange(type);
  const all = fullRange(type.bits, type.signed);
  const inside = type.special.filter(({ code }) => code >= min && code <= max).length;
  return { used: max - min + 1n - BigInt(inside), all: all.max - all.min + 1n };
}

/** The step at the largest magnitude of the range. */
function floatStep({ format, range }: FloatType): Rational | undefined {
  if (range === undefined) return undefined;
  const largest = [range.min, range.max].map(absolute).reduce((a, b) => (compare(a, b) >= 0 ? a : b));
  if (largest.num === 0n) return rational(0);
  if (format === 'float32' || format === 'float64') {
    const bits = mantissaBits[format];
    let exponent = Math.floor(Math.log2(toDouble(largest)));
    if (compare(powerOf(2n, exponent), largest) > 0) exponent -= 1;
    if (compare(powerOf(2n, exponent + 1), largest) <= 0) exponent += 1;
    return powerOf(2n, exponent - bits + 1);
  }
  const { mantissa, lowest, highest } = decimals[format];
  let exponent = lowest;
  while (exponent < highest && compare(divide(largest, powerOf(10n, exponent)), rational(mantissa)) > 0) exponent += 1;
  return powerOf(10n, exponent);
}

/** Half a step over the smallest mantissa that a number of full precision has. */
function relativeOf(format: FloatFormat): Rational {
  if (format === 'float32' || format === 'float64') return powerOf(2n, -mantissaBits[format]);
  // One more digit would go beyond the largest mantissa.
  return rational(1n, 2n * (decimals[format].mantissa / 10n + 1n));
}

/** What the drive behind a value makes of it, in the value's unit. */
export type DriveQuantisation = {
  readonly kind: Drive['kind'];
  /** The coarsest step between values that it produces within the range. */
  readonly resolution: Rational;
  /** The farthest that the produced value lies from the coded one. */
  readonly worst: Rational;
  /** `exhaustive`: every code was tried. `bound`: derived, and may be more than really happens. */
  readonly proof: 'exhaustive' | 'bound';
  /** Every word is the nearest there is. */
  readonly nearest: boolean;
  /** Ideal signal-to-noise ratio of a converter of so many bits, dB: 6.02 N + 1.76; only for converters. */
  readonly idealSnrDb: number | undefined;
};

/** `undefined` when values of this type cannot be driven. */
export function driveQuantisation(drive: Drive, type: IntegerType): DriveQuantisation | undefined {
  const plan = integerPlan(drive, type);
  if (!plan.ok) return undefined;
  return {
    kind: drive.kind,
    resolution: driveResolution(drive, type.range, type),
    worst: plan.value.worstErrorValue,
    proof: plan.value.proof,
    nearest: plan.value.exact,
    idealSnrDb: drive.kind === 'adc' || drive.kind === 'dac' ? idealSnr(drive.bits) : undefined,
  };
}

/** Full-scale sine over quantisation noise of an ideal converter, dB. Analog Devices MT-001: 6.02 N + 1.76. */
export function idealSnr(bits: number): number {
  return 20 * Math.log10(2 ** bits) + 10 * Math.log10(1.5);
}
