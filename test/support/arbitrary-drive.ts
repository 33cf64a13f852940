import fc from 'fast-check';
import { rational, type Rational } from '../../src/base/rational.ts';
import type { Drive, TimerDrive } from '../../src/values/drives/model.ts';
import { fullPhysicalRange } from '../../src/values/scale.ts';
import type { IntegerType, UnitCode } from '../../src/values/type.ts';

/** Drives of every kind, well formed, with clocks and references from benches and odd ones; and integer types to drive. */

const clock: fc.Arbitrary<Rational> = fc.oneof(
  fc
    .constantFrom(32_768, 1_000_000, 8_000_000, 16_000_000, 48_000_000, 84_000_000, 125_000_000)
    .map((hz) => rational(hz)),
  fc
    .tuple(fc.integer({ min: 1, max: 10 ** 9 }), fc.integer({ min: 1, max: 1001 }))
    .map(([num, den]) => rational(num, den)),
);

const quantity: fc.Arbitrary<Rational> = fc
  .tuple(fc.integer({ min: 1, max: 100_000 }), fc.constantFrom(1, 3, 10, 100, 1000, 4096))
  .map(([num, den]) => rational(num, den));

const gain = fc
  .tuple(quantity, fc.boolean())
  .map(([value, inverting]) => (inverting ? { num: -value.num, den: value.den } : value));

const chains = fc.constantFrom([1], [1, 2, 4, 8, 16], [1, 8, 64, 256, 1024], [4, 12, 36], [7200]);
const others = fc
  .uniqueArray(fc.oneof(fc.integer({ min: 1, max: 300 }), fc.integer({ min: 1, max: 100_000 })), {
    minLength: 2,
    maxLength: 6,
  })
  .map((factors) => [...factors].sort((a, b) => a - b));

export const arbitraryTimer: fc.Arbitrary<TimerDrive> = fc.record({
  kind: fc.constant('timer' as const),
  clock,
  prescalers: fc.oneof(chains, others),
  reloadBits: fc.integer({ min: 8, max: 32 }),
  of: fc.constantFrom('frequency' as const, 'period' as const),
});

const arbitraryTable = fc
  .record({
    bits: fc.integer({ min: 8, max: 32 }),
    values: fc.uniqueArray(fc.integer({ min: -5000, max: 5000 }), { minLength: 2, maxLength: 6 }),
    den: fc.constantFrom(1, 3, 10, 64),
    words: fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 6, maxLength: 6 }),
    level: fc.boolean(),
  })
  .map(({ bits, values, den, words, level }) => ({
    kind: 'table' as const,
    bits,
    points: [...values]
      .sort((a, b) => a - b)
      .map((value, i) => ({
        value: rational(value, den),
        word: Math.floor((words[level && i === 1 ? 0 : i] ?? 0) * (2 ** bits - 1)),
      })),
  }));

const arbitraryPulse = fc
  .record({
    clock: fc.constantFrom(100_000, 1_000_000, 2_000_000, 32_768).map((hz) => rational(hz)),
    ends: fc.uniqueArray(fc.integer({ min: -180, max: 180 }), { minLength: 2, maxLength: 2 }),
    widths: fc.uniqueArray(fc.integer({ min: 200, max: 20_000 }), { minLength: 2, maxLength: 2 }),
  })
  .map(({ clock: hz, ends, widths }) => ({
    kind: 'pulse-width' as const,
    clock: hz,
    bits: 16,
    from: { value: rational(ends[0] ?? 0), width: rational(widths[0] ?? 0, 1_000_000) },
    to: { value: rational(ends[1] ?? 0), width: rational(widths[1] ?? 0, 1_000_000) },
  }));

export const arbitraryDrive: fc.Arbitrary<Drive> = fc.oneof(
  fc.record({ kind: fc.constant('phase-accumulator' as const), width: fc.integer({ min: 8, max: 64 }), clock }),
  arbitraryTimer,
  fc.record({
    kind: fc.constant('pwm-duty' as const),
    top: fc.oneof(fc.constantFrom(1, 255, 999, 1023, 65_535, 2 ** 32 - 1), fc.integer({ min: 1, max: 2 ** 32 - 1 })),
    full: quantity,
  }),
  arbitraryPulse,
  fc.record({
    kind: fc.constantFrom('dac' as const, 'adc' as const),
    bits: fc.integer({ min: 4, max: 24 }),
    reference: quantity,
    gain,
  }),
  arbitraryTable,
);

/** An unscaled unsigned integer of full range, but for what is given. */
export function integerType(given: {
  readonly bits: IntegerType['bits'];
  readonly signed?: boolean;
  readonly multiplier?: number;
  readonly decimal?: number;
  readonly binary?: number;
  readonly unit?: UnitCode;
  readonly range?: readonly [Rational, Rational];
}): IntegerType {
  const { bits, signed = false, multiplier = 1, decimal = 0, binary = 0, unit = 0x2700 } = given;
  const scale = { multiplier, decimal, binary };
  const range = given.range && { min: given.range[0], max: given.range[1] };
  return {
    kind: 'integer',
    signed,
    bits,
    scale,
    unit,
    step: undefined,
    special: [],
    range: range ?? fullPhysicalRange(bits, signed, scale),
    bounded: range !== undefined,
  };
}
