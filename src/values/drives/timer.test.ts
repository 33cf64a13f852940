import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryTimer } from '../../../test/support/arbitrary-drive.ts';
import { absolute, compare, divide, multiply, rational, subtract, type Rational } from '../../base/rational.ts';
import type { TimerDrive } from './model.ts';
import {
  isChain,
  nearestCount,
  settingValue,
  timerOutcome,
  timerResolution,
  timerSpan,
  timerSetting,
} from './timer.ts';

/** Timers with a register of 8 bits, so that every setting can be tried; and a value for each. */
const smallTimers = fc
  .record({
    timer: arbitraryTimer,
    place: fc.integer({ min: 1, max: 100_000 }),
    stretch: fc.constantFrom(10, 1000, 90_000),
  })
  .map(({ timer, place, stretch }) => {
    const drive: TimerDrive = { ...timer, reloadBits: 8 };
    const { min, max } = timerSpan(drive);
    // Places are dense at the slow end too, where prescalers meet.
    return {
      drive,
      value: rational(
        BigInt(place) * (drive.of === 'period' ? max.num : min.num) * 10n,
        BigInt(stretch) * (drive.of === 'period' ? max.den : min.den),
      ),
    };
  });

function everyValue(drive: TimerDrive): Rational[] {
  return drive.prescalers.flatMap((_, index) =>
    Array.from({ length: 256 }, (_unused, i) => settingValue(drive, index, BigInt(i + 1))),
  );
}

describe('the setting of a timer', () => {
  it('has the least error of all settings there are', () => {
    fc.assert(
      fc.property(smallTimers, ({ drive, value }) => {
        const { index, count } = timerSetting(drive, value);
        const error = absolute(subtract(settingValue(drive, index, count), value));
        const least = everyValue(drive)
          .map((other) => absolute(subtract(other, value)))
          .reduce((a, b) => (compare(a, b) <= 0 ? a : b));
        expect(error).toEqual(least);
      }),
    );
  });

  it('takes the lowest prescaler among equals', () => {
    const drive: TimerDrive = {
      kind: 'timer',
      clock: rational(16_000_000),
      prescalers: [1, 8, 64],
      reloadBits: 16,
      of: 'frequency',
    };
    expect(timerSetting(drive, rational(1000))).toEqual({ index: 0, count: 16_000n, held: false });
    expect(timerSetting(drive, rational(100))).toEqual({ index: 1, count: 20_000n, held: false });
  });

  it('goes to the next prescaler at half a count past the last one', () => {
    const drive: TimerDrive = { kind: 'timer', clock: rational(1), prescalers: [1, 8], reloadBits: 8, of: 'period' };
    expect(timerSetting(drive, rational(2564, 10))).toEqual({ index: 0, count: 256n, held: false });
    // 8 * 32 = 1 * 256: the same period, but 256 is not the nearest count of prescaler 1 any more.
    expect(timerSetting(drive, rational(2566, 10))).toEqual({ index: 1, count: 32n, held: false });
  });

  it('stays at the last count while the next prescaler is farther away', () => {
    const drive: TimerDrive = { kind: 'timer', clock: rational(1), prescalers: [1, 3], reloadBits: 8, of: 'period' };
    expect(timerSetting(drive, rational(2566, 10))).toEqual({ index: 0, count: 256n, held: true });
    expect(timerOutcome(drive, rational(2566, 10), 0x2703).limited).toBeUndefined();
    expect(timerSetting(drive, rational(2571, 10))).toEqual({ index: 1, count: 86n, held: false });
  });
});

describe('the nearest count', () => {
  it('has the nearest frequency, not the nearest period', () => {
    // Between 1/1 and 1/2 the middle is 3/4 = 1/(4/3).
    expect(nearestCount('frequency', 4n, 3n)).toBe(1n);
    expect(nearestCount('frequency', 134n, 100n)).toBe(2n);
    expect(nearestCount('period', 134n, 100n)).toBe(1n);
    expect(nearestCount('period', 3n, 2n)).toBe(2n);
  });

  it('is nearer than its neighbours', () => {
    fc.assert(
      fc.property(fc.bigInt({ min: 1n, max: 10n ** 9n }), fc.bigInt({ min: 1n, max: 10n ** 6n }), (num, den) => {
        const count = nearestCount('frequency', num, den);
        if (num < den) return;
        const wanted = divide(rational(1), rational(num, den));
        const miss = (n: bigint) => absolute(subtract(rational(1n, n), wanted));
        for (const other of [count - 1n, count + 1n]) {
          if (other > 0n) expect(compare(miss(count), miss(other))).toBeLessThanOrEqual(0);
        }
      }),
    );
  });
});

describe('the resolution of a timer', () => {
  it('is the largest gap between neighbouring values of the range, at most more where factors do not divide', () => {
    fc.assert(
      fc.property(smallTimers, fc.integer({ min: 100, max: 400 }), ({ drive, value }, percent) => {
        const span = timerSpan(drive);
        const range = { min: value, max: multiply(value, rational(percent, 100)) };
        fc.pre(compare(range.min, span.min) >= 0 && compare(range.max, span.max) <= 0);
        const values = everyValue(drive).sort(compare);
        // A gap counts when the range lies on it or touches one of its ends.
        const gaps = values
          .slice(1)
          .map((above, i) => ({ below: values[i]!, above }))
          .filter(({ below, above }) => compare(above, range.min) >= 0 && compare(below, range.max) <= 0)
          .map(({ below, above }) => subtract(above, below));
        const widest = gaps.reduce((a, b) => (compare(a, b) >= 0 ? a : b), rational(0));
        const found = compare(timerResolution(drive, range), widest);
        const aligned = drive.prescalers.every(
          (factor, i) => i === 0 || [2, 4, 8].includes(factor / drive.prescalers[i - 1]!),
        );
        if (aligned) expect(found).toBe(0);
        else expect(found).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});

describe('a chain of prescalers', () => {
  it('has each factor in the next', () => {
    expect(isChain([1, 8, 64, 256, 1024])).toBe(true);
    expect(isChain([7])).toBe(true);
    expect(isChain([1, 2, 3])).toBe(false);
  });
});
