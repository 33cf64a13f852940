import { bug } from '../../base/bug.ts';
import type { PlanNumber, PlanOperation, PlanStep } from './plan.ts';

/** Inclusive. */
export type Interval = { readonly least: bigint; readonly greatest: bigint };

/** A number of a plan in the making, with the bounds it keeps. */
export type Bounded = Interval & { readonly number: PlanNumber };

export type Finished = { readonly steps: readonly PlanStep[]; readonly result: PlanNumber };

type Width = { readonly signed: boolean; readonly bits: 32 | 64 };

/** Narrowest first; unsigned before signed, so that shifts and divisions mean the same everywhere. */
const widths: readonly Width[] = [
  { signed: false, bits: 32 },
  { signed: true, bits: 32 },
  { signed: false, bits: 64 },
  { signed: true, bits: 64 },
];

/**
 * Collects the steps of one segment. It follows the bounds of every number by interval arithmetic, picks for each step
 * the narrowest width that holds operands and result, and leaves out steps that change nothing.
 */
export class PlanWriter {
  readonly #steps: PlanStep[] = [];
  #overflow = false;

  /**
   * The steps that the result needs, and where they leave it.
   *
   * @returns `undefined` when a step does not fit `bits`
   */
  finish(result: Bounded, bits: 32 | 64 = 64): Finished | undefined {
    const needed = new Set<PlanStep>();
    const mark = (number: PlanNumber) => {
      const step = number.kind === 'step' ? this.#steps[number.index] : undefined;
      if (step === undefined || needed.has(step)) return;
      needed.add(step);
      mark(step.left);
      mark(step.right);
    };
    mark(result.number);
    const kept = this.#steps.filter((step) => needed.has(step));
    const moved = (number: PlanNumber): PlanNumber => {
      const step = number.kind === 'step' ? this.#steps[number.index] : undefined;
      return step === undefined ? number : { kind: 'step', index: kept.indexOf(step) };
    };
    const steps = kept.map((step) => ({ ...step, left: moved(step.left), right: moved(step.right) }));
    if (this.#overflow || widestStep(steps) > bits) return undefined;
    return { steps, result: moved(result.number) };
  }

  input(from: bigint, to: bigint): Bounded {
    return { number: { kind: 'input' }, least: from, greatest: to };
  }

  constant(value: bigint): Bounded {
    return { number: { kind: 'constant', value }, least: value, greatest: value };
  }

  /** `known`: bounds of the sum that are proved elsewhere. */
  add(name: string, left: Bounded, right: Bounded, known?: Interval): Bounded {
    if (isConstant(right, 0n)) return left;
    if (isConstant(left, 0n)) return right;
    return this.#step(name, 'add', left, right, [left.least + right.least, left.greatest + right.greatest], known);
  }

  subtract(name: string, left: Bounded, right: Bounded): Bounded {
    if (isConstant(right, 0n)) return left;
    return this.#step(name, 'subtract', left, right, [left.least - right.greatest, left.greatest - right.least]);
  }

  /** Operands are 0 or more. `known`: bounds of the product that are proved elsewhere. */
  multiply(name: string, left: Bounded, right: Bounded, known?: Interval): Bounded {
    bug(left.least >= 0n && right.least >= 0n, 'a plan product with a negative operand');
    if (isConstant(left, 0n) || isConstant(right, 0n)) return this.constant(0n);
    if (isConstant(right, 1n)) return left;
    if (isConstant(left, 1n)) return right;
    return this.#step(name, 'multiply', left, right, [left.least * right.least, left.greatest * right.greatest], known);
  }

  /** `left` is 0 or more, `right` 1 or more. */
  divide(name: string, left: Bounded, right: Bounded): Bounded {
    bug(left.least >= 0n && right.least >= 1n, 'a plan quotient out of its domain');
    if (isConstant(right, 1n)) return left;
    return this.#step(name, 'divide', left, right, [left.least / right.greatest, left.greatest / right.least]);
  }

  /** `left` is 0 or more, `right` 1 or more. */
  remainder(name: string, left: Bounded, right: Bounded): Bounded {
    bug(left.least >= 0n && right.least >= 1n, 'a plan remainder out of its domain');
    const most = right.greatest - 1n;
    return this.#step(name, 'remainder', left, right, [0n, left.greatest < most ? left.greatest : most]);
  }

  /** `left` is 0 or more. */
  shiftRight(name: string, left: Bounded, places: number): Bounded {
    bug(left.least >= 0n, 'a plan shift of a negative number');
    const by = BigInt(places);
    if (by === 0n) return left;
    return this.#step(name, 'shift-right', left, this.constant(by), [left.least >> by, left.greatest >> by]);
  }

  /** 1 when `left` is above `right`, else 0. */
  greater(name: string, left: Bounded, right: Bounded): Bounded {
    return this.#step(name, 'greater', left, right, [0n, 1n]);
  }

  minimum(name: string, left: Bounded, greatest: bigint): Bounded {
    if (left.greatest <= greatest) return left;
    const least = left.least < greatest ? left.least : greatest;
    return this.#step(name, 'minimum', left, this.constant(greatest), [least, greatest]);
  }

  #step(
    name: string,
    operation: PlanOperation,
    left: Bounded,
    right: Bounded,
    [least, greatest]: readonly [bigint, bigint],
    known?: Interval,
  ): Bounded {
    const result = {
      least: known !== undefined && known.least > least ? known.least : least,
      greatest: known !== undefined && known.greatest < greatest ? known.greatest : greatest,
    };
    if (result.least === result.greatest) return this.constant(result.least);
    const width = widths.find((candidate) => [left, right, result].every((number) => holds(candidate, number)));
    if (width === undefined) this.#overflow = true;
    const index = this.#steps.length;
    this.#steps.push({
      name,
      operation,
      left: left.number,
      right: right.number,
      ...(width ?? { signed: true, bits: 64 }),
      ...result,
    });
    return { number: { kind: 'step', index }, ...result };
  }
}

function isConstant(number: Bounded, value: bigint): boolean {
  return number.number.kind === 'constant' && number.number.value === value;
}

function holds(width: Width, { least, greatest }: Interval): boolean {
  const size = 1n << BigInt(width.bits);
  return width.signed ? least >= -size / 2n && greatest < size / 2n : least >= 0n && greatest < size;
}

/** The widest step, at least 32. */
export function widestStep(steps: readonly PlanStep[]): 32 | 64 {
  return steps.some((step) => step.bits === 64) ? 64 : 32;
}
