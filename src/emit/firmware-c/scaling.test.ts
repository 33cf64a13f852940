import { describe, expect, it } from 'vitest';
import { integerType } from '../../../test/support/arbitrary-drive.ts';
import { scalingOf } from './scaling.ts';

const hertz = 0x2722;
const second = 0x2703;

describe('a value in a decimal part of its unit', () => {
  it('is exact where the step is a decimal part', () => {
    expect(scalingOf(integerType({ bits: 16, decimal: -2, unit: hertz }))).toMatchObject({
      suffix: 'in_milli_hertz',
      factor: 10n,
      divisor: 1n,
      exact: true,
      greatest: 655_350n,
      bits: 32,
    });
    expect(scalingOf(integerType({ bits: 8, multiplier: 5, decimal: -1, unit: hertz }))).toMatchObject({
      factor: 500n,
    });
    expect(scalingOf(integerType({ bits: 8, signed: true, decimal: -1 }))).toMatchObject({ suffix: 'in_thousandths' });
  });

  it('is rounded where the step is a power of two, in a part fine enough to come back', () => {
    // 2^-15 s is 30.517578125 µs.
    expect(scalingOf(integerType({ bits: 48, binary: -15, unit: second }))).toMatchObject({
      suffix: 'in_micro_second',
      factor: 15_625n,
      divisor: 512n,
      exact: false,
      bits: 64,
    });
  });

  it('is left out where the raw value is in the unit, or 64 bits do not do', () => {
    expect(scalingOf(integerType({ bits: 32, unit: hertz }))).toBeUndefined();
    expect(scalingOf(integerType({ bits: 64, decimal: -2, unit: hertz }))).toBeUndefined();
    expect(scalingOf(integerType({ bits: 128, decimal: -2, unit: hertz }))).toBeUndefined();
  });
});
