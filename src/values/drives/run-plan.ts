import { bug } from '../../base/bug.ts';
import type { IntegerPlan, PlanNumber, PlanOperation, PlanSegment, PlanStep } from './plan.ts';

/**
 * The words that firmware computes for an input, in the order of the plan's words.
 *
 * @throws Error when the input is outside the plan's range, or when a number leaves the width that the plan states for it:
 *   the plan would then be wrong
 */
export function runPlan(plan: IntegerPlan, input: bigint): readonly bigint[] {
  return runSegment(segmentOf(plan, input), input);
}

/** The segment that an input of the plan's range lies in. */
export function segmentOf(plan: IntegerPlan, input: bigint): PlanSegment {
  const segment = plan.segments.find(({ from, to }) => from <= input && input <= to);
  bug(segment !== undefined, `input ${input} is outside ${plan.input.from} to ${plan.input.to} of the plan`);
  return segment;
}

export function runSegment(segment: PlanSegment, input: bigint): readonly bigint[] {
  const results: bigint[] = [];
  const read = (number: PlanNumber): bigint => {
    if (number.kind === 'input') return input;
    if (number.kind === 'constant') return number.value;
    const result = results[number.index];
    bug(result !== undefined, 'a plan step that reads a later one');
    return result;
  };
  for (const step of segment.steps) {
    const left = read(step.left);
    const right = read(step.right);
    checkFits(step, left);
    checkFits(step, right);
    const result = operate(step.operation, left, right);
    checkFits(step, result);
    if (result < step.least || result > step.greatest) bug(false, `plan step ${step.name} leaves its bounds`);
    results.push(result);
  }
  return segment.words.map(read);
}

function checkFits(step: PlanStep, value: bigint): void {
  const kept = step.signed ? BigInt.asIntN(step.bits, value) : BigInt.asUintN(step.bits, value);
  // The text is made only when needed: this runs three times a step for each of 65,536 inputs.
  if (kept !== value) bug(false, `${value} overflows ${step.bits} bits in plan step ${step.name}`);
}

function operate(operation: PlanOperation, left: bigint, right: bigint): bigint {
  switch (operation) {
    case 'add':
      return left + right;
    case 'subtract':
      return left - right;
    case 'multiply':
      return left * right;
    case 'divide':
      return left / right;
    case 'remainder':
      return left % right;
    case 'shift-right':
      return left >> right;
    case 'greater':
      return left > right ? 1n : 0n;
    case 'minimum':
      return left < right ? left : right;
  }
}
