import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryDrive, arbitraryTimer, integerType } from '../../../test/support/arbitrary-drive.ts';
import { absolute, compare, multiply, rational, subtract, type Rational } from '../../base/rational.ts';
import { fullPhysicalRange, scaleFactor } from '../scale.ts';
import type { IntegerType } from '../type.ts';
import { driveOutput, driveValue } from './drive.ts';
import { integerPlan } from './integer-plan.ts';
import type { Drive } from './model.ts';
import type { IntegerPlan } from './plan.ts';
import { runPlan, segmentOf } from './run-plan.ts';

function planOf(drive: Drive, type: IntegerType): IntegerPlan {
  const plan = integerPlan(drive, type);
  if (!plan.ok) throw new Error(plan.refusal.message);
  return plan.value;
}

function codesOf(plan: IntegerPlan): bigint[] {
  return Array.from({ length: Number(plan.input.to - plan.input.from) + 1 }, (_, i) => plan.input.from + BigInt(i));
}

const paddle: Drive = { kind: 'phase-accumulator', width: 32, clock: rational(20_000) };
const centihertz = integerType({ bits: 16, decimal: -2, unit: 0x2722 });

describe('the paddle of a wave tank: uint16, 0.01 Hz, 32-bit accumulator at 20 kHz', () => {
  it('needs 32-bit arithmetic for 0 to 4 Hz and is nearest for every code', () => {
    const plan = planOf(paddle, { ...centihertz, range: { min: rational(0), max: rational(4) }, bounded: true });
    expect(plan).toMatchObject({ proof: 'exhaustive', exact: true, intermediateBits: 32 });
    expect(plan.input).toEqual({ name: 'code', signed: false, bits: 16, from: 0n, to: 400n });
    expect(plan.worstErrorWords).toEqual(rational(7802, 15_625));
    for (const code of codesOf(plan)) {
      // word = code / 100 * 2^32 / 20000, rounded; worked out without the project's numbers.
      expect(runPlan(plan, code)).toEqual([(code * 2n ** 33n + 2_000_000n) / 4_000_000n]);
    }
  });

  it('is nearest for all 65,536 codes, in 64-bit arithmetic', () => {
    const plan = planOf(paddle, centihertz);
    expect(plan).toMatchObject({ proof: 'exhaustive', exact: true, intermediateBits: 64 });
    let worst = 0n;
    for (const code of codesOf(plan)) {
      const [word] = runPlan(plan, code);
      const off = word! * 2_000_000n - code * 2n ** 32n;
      if (off > worst || -off > worst) worst = off < 0n ? -off : off;
      if (word !== (code * 2n ** 33n + 2_000_000n) / 4_000_000n) expect.fail(`code ${code}`);
    }
    expect(plan.worstErrorWords).toEqual(rational(worst, 2_000_000));
    // One word is 20 kHz / 2^32.
    expect(plan.worstErrorValue).toEqual(multiply(rational(worst, 2_000_000), rational(20_000, 2n ** 32n)));
    const [at] = runPlan(plan, plan.at!);
    expect(absolute(rational(at! * 2_000_000n - plan.at! * 2n ** 32n))).toEqual(rational(worst));
  });
});

/** Types of few codes, so that all can be held against the exact drive. */
const smallType: fc.Arbitrary<IntegerType> = fc
  .record({
    width: fc.constantFrom(
      { bits: 4 as const, signed: false },
      { bits: 8 as const, signed: false },
      { bits: 8 as const, signed: true },
    ),
    multiplier: fc.constantFrom(1, 1, 1, -1, 5, -3),
    decimal: fc.integer({ min: -4, max: 4 }),
    binary: fc.integer({ min: -6, max: 6 }),
  })
  .map(({ width, multiplier, decimal, binary }) => integerType({ ...width, multiplier, decimal, binary }));

/** The input of an ADC's plan is its reading. */
const smallDrive = arbitraryDrive.map((drive) =>
  drive.kind === 'adc' ? { ...drive, bits: 4 + (drive.bits % 5) } : drive,
);

const wideType: fc.Arbitrary<IntegerType> = fc
  .record({
    width: fc.constantFrom(
      { bits: 24 as const, signed: false },
      { bits: 32 as const, signed: true },
      { bits: 32 as const, signed: false },
      { bits: 48 as const, signed: false },
      { bits: 64 as const, signed: false },
      { bits: 64 as const, signed: true },
    ),
    multiplier: fc.constantFrom(1, 1, 1, -1, 7),
    decimal: fc.integer({ min: -9, max: 3 }),
    binary: fc.integer({ min: -12, max: 6 }),
  })
  .map(({ width, multiplier, decimal, binary }) => integerType({ ...width, multiplier, decimal, binary }));

/** The exact outcome that the words of a plan are held against. */
function asked(drive: Drive, type: IntegerType, input: bigint): Rational {
  return drive.kind === 'adc' ? driveValue(drive, [input]) : multiply(scaleFactor(type.scale), rational(input));
}

/** What is wrong with the plan's words for an input; `undefined` when nothing is. (One `expect` for each is slow.) */
function wrongAt(drive: Drive, type: IntegerType, plan: IntegerPlan, input: bigint): string | undefined {
  const words = runPlan(plan, input);
  const { limited } = segmentOf(plan, input);
  const value = asked(drive, type, input);
  if (plan.words.some(({ bits, signed }, i) => !fits(words[i]!, bits, signed))) return `${input}: a word is too wide`;
  if (drive.kind === 'adc') {
    const produced = multiply(scaleFactor(type.scale), rational(words[0]!));
    return limited === undefined && farther(produced, value, plan.worstErrorValue) ? `${input}: off` : undefined;
  }
  const exact = driveOutput(drive, value, type);
  const same = exact.words.every((word, i) => word.value === words[i]);
  if (limited !== exact.limited?.end) return `${input}: ${limited} instead of ${exact.limited?.end}`;
  if ((plan.exact || limited !== undefined) && !same) return `${input}: other words than the drive's`;
  if (limited !== undefined || drive.kind === 'table') return undefined;
  return farther(driveValue(drive, words, type), value, plan.worstErrorValue) ? `${input}: off` : undefined;
}

function fits(word: bigint, bits: number, signed: boolean): boolean {
  return (signed ? BigInt.asIntN(bits, word) : BigInt.asUintN(bits, word)) === word;
}

function farther(found: Rational, wanted: Rational, bound: Rational): boolean {
  return compare(absolute(subtract(found, wanted)), bound) > 0;
}

function wrongIn(drive: Drive, type: IntegerType, plan: IntegerPlan, inputs: readonly bigint[]): string[] {
  return inputs.map((input) => wrongAt(drive, type, plan, input)).filter((wrong) => wrong !== undefined);
}

describe('a plan', () => {
  it('of few codes has the words of the drive for every code', () => {
    fc.assert(
      fc.property(fc.oneof(smallDrive, arbitraryTimer), smallType, (drive, type) => {
        const made = integerPlan(drive, type);
        if (!made.ok) return;
        const plan = made.value;
        expect(plan.proof).toBe('exhaustive');
        expect(wrongIn(drive, type, plan, codesOf(plan))).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });

  it('of many codes keeps its bound', () => {
    fc.assert(
      fc.property(
        fc.oneof(arbitraryDrive, arbitraryTimer),
        wideType,
        fc.array(fc.bigInt({ min: 0n, max: (1n << 64n) - 1n }), { minLength: 10, maxLength: 10 }),
        (drive, type, places) => {
          // Up to 16 bits an ADC's readings are few.
          fc.pre(drive.kind !== 'adc' || drive.bits > 16);
          const made = integerPlan(drive, type);
          if (!made.ok) return;
          const plan = made.value;
          const span = plan.input.to - plan.input.from + 1n;
          expect(plan.proof).toBe('bound');
          const edges = plan.segments.flatMap(({ from, to }) => [from, from + (to - from) / 2n, to]);
          const others = places.map((place) => plan.input.from + (place % span));
          expect(wrongIn(drive, type, plan, [...edges, ...others])).toEqual([]);
        },
      ),
      { numRuns: 100 },
    );
  });

  it('covers its inputs without gaps, and each step keeps to its width', () => {
    fc.assert(
      fc.property(arbitraryDrive, fc.oneof(smallType, wideType), (drive, type) => {
        fc.pre(drive.kind !== 'adc');
        const made = integerPlan(drive, type);
        if (!made.ok) return;
        const { segments, input, intermediateBits } = made.value;
        expect(segments[0]!.from).toBe(input.from);
        expect(segments.at(-1)!.to).toBe(input.to);
        for (const [i, segment] of segments.entries()) {
          expect(segment.from).toBeLessThanOrEqual(segment.to);
          if (i > 0) expect(segment.from).toBe(segments[i - 1]!.to + 1n);
          for (const step of segment.steps) {
            expect(step.bits).toBeLessThanOrEqual(intermediateBits);
            for (const bound of [step.least, step.greatest]) {
              expect(step.signed ? BigInt.asIntN(step.bits, bound) : BigInt.asUintN(step.bits, bound)).toBe(bound);
            }
          }
        }
      }),
    );
  });
});

describe('the proof', () => {
  it('is exact for the usual drives of 16-bit codes', () => {
    const volts = integerType({ bits: 16, decimal: -3, unit: 0x2728 });
    const percent = integerType({ bits: 16, decimal: -2, unit: 0x27ad, range: [rational(0), rational(100)] });
    const degrees = integerType({
      bits: 16,
      signed: true,
      decimal: -2,
      unit: 0x2763,
      range: [rational(-90), rational(90)],
    });
    const seconds = integerType({ bits: 16, decimal: -3, unit: 0x2703 });
    const prescalers = [1, 8, 64, 256, 1024];
    const clock = rational(16_000_000);
    const usual: readonly (readonly [Drive, IntegerType, 32 | 64])[] = [
      [
        { kind: 'timer', clock, prescalers, reloadBits: 16, of: 'frequency' },
        integerType({ bits: 16, decimal: -1, unit: 0x2722 }),
        32,
      ],
      [{ kind: 'timer', clock, prescalers, reloadBits: 16, of: 'period' }, seconds, 32],
      [{ kind: 'pwm-duty', top: 999, full: rational(100) }, percent, 32],
      [{ kind: 'pwm-duty', top: 65_535, full: rational(100) }, percent, 64],
      [{ kind: 'dac', bits: 12, reference: rational(33, 10), gain: rational(1) }, volts, 32],
      [
        {
          kind: 'pulse-width',
          clock: rational(1_000_000),
          bits: 16,
          from: { value: rational(-90), width: rational(1, 1000) },
          to: { value: rational(90), width: rational(2, 1000) },
        },
        degrees,
        32,
      ],
      [{ kind: 'adc', bits: 12, reference: rational(33, 10), gain: rational(1) }, volts, 32],
    ];
    for (const [drive, type, bits] of usual) {
      const plan = planOf(drive, type);
      expect(plan, drive.kind).toMatchObject({ proof: 'exhaustive', exact: true });
      expect(plan.intermediateBits, drive.kind).toBeLessThanOrEqual(bits);
      expect(compare(plan.worstErrorWords, rational(2, 3)), drive.kind).toBeLessThanOrEqual(0);
    }
  });

  it('is by bound, and still nearest, above 16 bits', () => {
    const millihertz = integerType({ bits: 32, decimal: -3, unit: 0x2722 });
    const plan = planOf({ kind: 'phase-accumulator', width: 48, clock: rational(1_000_000_000) }, millihertz);
    expect(plan).toMatchObject({ proof: 'bound', exact: true, worstErrorWords: rational(1, 2), at: undefined });
    expect(plan.worstErrorValue).toEqual(rational(1_000_000_000, 2n ** 49n));
  });

  it('says how far it may be off where no exact arithmetic fits', () => {
    const drive: Drive = { kind: 'phase-accumulator', width: 64, clock: rational(999_999_999_989n, 1009n) };
    const type = integerType({ bits: 40, decimal: -6, unit: 0x2722 });
    const plan = planOf(drive, type);
    expect(plan.exact).toBe(false);
    expect(compare(plan.worstErrorWords, rational(1, 2))).toBe(1);
  });

  it('does not claim the prescaler with the least error where factors do not divide each other', () => {
    const drive: Drive = {
      kind: 'timer',
      clock: rational(1_000_000),
      prescalers: [2, 3, 5, 7],
      reloadBits: 8,
      of: 'period',
    };
    const plan = planOf(drive, integerType({ bits: 16, decimal: -6, unit: 0x2703 }));
    expect(plan).toMatchObject({ proof: 'exhaustive', exact: false });
    expect(compare(plan.worstErrorWords, rational(1, 2))).toBe(0);
  });
});

describe('a plan is refused', () => {
  it.each<[string, Drive, Parameters<typeof integerPlan>[1], string]>([
    [
      'for a float',
      paddle,
      { kind: 'float', format: 'float32', unit: 0x2722, range: undefined, step: undefined },
      'a drive counts in whole steps and needs an integer type; this is float32',
    ],
    [
      'for another quantity',
      paddle,
      integerType({ bits: 16, unit: 0x2728 }),
      'a phase-accumulator drive needs a frequency (hertz, revolution per minute, beat per minute); this is in volt',
    ],
    [
      'for a drive without a clock',
      { ...paddle, clock: rational(0) },
      centihertz,
      '`clock` is 0 Hz but must be above 0',
    ],
    [
      'for a range between two codes',
      paddle,
      integerType({ bits: 8, range: [rational(1, 3), rational(2, 3)] }),
      'no code of the type lies in its range',
    ],
  ])('%s', (_, drive, type, message) => {
    expect(integerPlan(drive, type)).toMatchObject({ ok: false, refusal: { message } });
  });
});

describe('an ADC', () => {
  it('leads from the reading to the nearest code the type allows', () => {
    const type = integerType({ bits: 16, decimal: -3, unit: 0x2728, range: [rational(1), rational(3)] });
    const drive: Drive = { kind: 'adc', bits: 10, reference: rational(33, 10), gain: rational(1) };
    const plan = planOf(drive, type);
    expect(plan.input).toEqual({ name: 'reading', signed: false, bits: 10, from: 0n, to: 1023n });
    expect(plan.words).toEqual([{ name: 'code', bits: 16, signed: false }]);
    for (const reading of codesOf(plan)) {
      const nearest = (reading * 3300n * 2n + 1024n) / 2048n;
      const held = nearest < 1000n ? 1000n : nearest > 3000n ? 3000n : nearest;
      expect(runPlan(plan, reading)).toEqual([held]);
      expect(segmentOf(plan, reading).limited).toBe(nearest < 1000n ? 'low' : nearest > 3000n ? 'high' : undefined);
    }
  });

  it('may read negative values through an inverting stage', () => {
    const type = integerType({ bits: 8, signed: true, decimal: -1, unit: 0x2728 });
    const drive: Drive = { kind: 'adc', bits: 8, reference: rational(5), gain: rational(-1) };
    const plan = planOf(drive, type);
    expect(fullPhysicalRange(8, true, type.scale).min).toEqual(rational(-128, 10));
    for (const reading of codesOf(plan)) {
      // -reading * 50 / 256, nearest, half way up.
      const [code] = runPlan(plan, reading);
      const off = code! * 256n + reading * 50n;
      expect(off).toBeGreaterThan(-128n);
      expect(off).toBeLessThanOrEqual(128n);
    }
  });
});
