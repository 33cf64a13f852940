import { describe, expect, it } from 'vitest';
import { integerType } from '../../../test/support/arbitrary-drive.ts';
import { rational } from '../../base/rational.ts';
import { integerPlan } from './integer-plan.ts';
import { provePlan } from './plan-proof.ts';
import type { IntegerPlan, PlanStep } from './plan.ts';
import { runPlan } from './run-plan.ts';

function dac(): IntegerPlan {
  const type = integerType({ bits: 16, decimal: -3, unit: 0x2728 });
  const made = integerPlan({ kind: 'dac', bits: 12, reference: rational(33, 10), gain: rational(1) }, type);
  if (!made.ok) throw new Error(made.refusal.message);
  return made.value;
}

/** The plan with one step of its first segment changed. */
function changed(plan: IntegerPlan, index: number, change: Partial<PlanStep>): IntegerPlan {
  const [first, ...others] = plan.segments;
  const steps = first!.steps.map((step, i) => (i === index ? { ...step, ...change } : step));
  return { ...plan, segments: [{ ...first!, steps }, ...others] };
}

describe('running a plan', () => {
  it('gives the words', () => {
    // 1.65 V of 3.3 V at 12 bits
    expect(runPlan(dac(), 1650n)).toEqual([2048n]);
    expect(runPlan(dac(), 65_535n)).toEqual([4095n]);
  });

  it('stops at an input outside the range, which the caller has to refuse', () => {
    expect(() => runPlan(dac(), 65_536n)).toThrow('input 65536 is outside 0 to 65535 of the plan');
  });

  it('stops at a number that does not fit its width', () => {
    const wide = { kind: 'constant', value: 1n << 31n } as const;
    expect(() => runPlan(changed(dac(), 0, { right: wide }), 1650n)).toThrow(/overflows 32 bits/);
    expect(() => runPlan(changed(dac(), 0, { operation: 'subtract' }), 1n)).toThrow(/overflows 32 bits/);
  });

  it('stops at a number outside its proved bounds', () => {
    expect(() => runPlan(changed(dac(), 0, { greatest: 5n }), 1650n)).toThrow('leaves its bounds');
  });
});

describe('the proof of a plan', () => {
  const plan = dac();
  const draft = (segment: IntegerPlan['segments'][number]) => ({
    segment,
    ideal: {
      kind: 'line' as const,
      word: 0,
      slope: rational(4096, 3300),
      offset: rational(0),
      valuePerWord: rational(33, 40_960),
    },
    exact: false,
    bound: { words: rational(1), value: rational(1) },
  });

  it('finds every code for itself, whatever the steps claim', () => {
    const good = provePlan([draft(plan.segments[0]!)]);
    expect(good).toMatchObject({ proof: 'exhaustive', exact: true });
    expect(good.worstErrorWords).toEqual(plan.worstErrorWords);
  });

  it.each([1n, -1n])('sees a multiplier that is off by %d, and where', (off) => {
    const [product] = plan.segments[0]!.steps;
    if (product?.right.kind !== 'constant') throw new Error('the first step multiplies by a constant');
    const right = { kind: 'constant', value: product.right.value + off } as const;
    const loose = changed(plan, 0, { right });
    const steps = loose.segments[0]!.steps.map((step) => ({ ...step, greatest: step.greatest * 2n }));
    const bad = provePlan([draft({ ...loose.segments[0]!, steps })]);
    expect(bad.exact).toBe(false);
    expect(bad.worstErrorWords.num * 2n).toBeGreaterThan(bad.worstErrorWords.den);
    expect(bad.at).toBeDefined();
  });
});
