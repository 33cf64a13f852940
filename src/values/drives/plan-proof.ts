import { bug } from '../../base/bug.ts';
import { compare, multiply, rational, zero, type Rational } from '../../base/rational.ts';
import type { CountIdeal, Draft, ErrorBound, Ideal, LineIdeal } from './plan-draft.ts';
import type { IntegerPlan, PlanSegment } from './plan.ts';
import { runSegment } from './run-plan.ts';
import { nearestCount } from './timer.ts';

/** The part of a plan that says how good it is. */
export type PlanProof = Pick<IntegerPlan, 'worstErrorWords' | 'worstErrorValue' | 'proof' | 'at' | 'exact'>;

/** Up to so many inputs are all tried. */
const exhaustiveInputs = 1n << 16n;

/**
 * @param expected the drive's words for an input, where being nearest to the ideal does not make a word the drive's; the
 *   plan then only counts as exact when all inputs were tried
 */
export function provePlan(drafts: readonly Draft[], expected?: (input: bigint) => readonly bigint[]): PlanProof {
  const inputs = drafts.reduce((sum, { segment }) => sum + segment.to - segment.from + 1n, 0n);
  return inputs <= exhaustiveInputs ? tryAll(drafts, expected) : combineBounds(drafts, expected === undefined);
}

function combineBounds(drafts: readonly Draft[], nearestIsExact: boolean): PlanProof {
  const bounds = drafts.map((draft) => draft.bound);
  return {
    worstErrorWords: bounds.map((bound) => bound.words).reduce(larger, zero),
    worstErrorValue: bounds.map((bound) => bound.value).reduce(larger, zero),
    proof: 'bound',
    at: undefined,
    exact: nearestIsExact && drafts.every((draft) => draft.exact),
  };
}

/** Runs every input through the plan and measures it against the exact word. */
function tryAll(drafts: readonly Draft[], expected?: (input: bigint) => readonly bigint[]): PlanProof {
  let worst: ErrorBound = { words: zero, value: zero };
  let at: bigint | undefined;
  let exact = true;
  for (const { segment, ideal, exact: proved } of drafts) {
    if (ideal === undefined) continue;
    const measured = ideal.kind === 'line' ? measureLine(segment, ideal) : measureCount(segment, ideal);
    exact &&= proved || measured.nearest;
    if (at === undefined || compare(measured.words, worst.words) > 0) at = measured.at;
    worst = { words: larger(worst.words, measured.words), value: larger(worst.value, measured.value) };
  }
  if (expected !== undefined) exact = drafts.every(({ segment }) => agrees(segment, expected));
  return { worstErrorWords: worst.words, worstErrorValue: worst.value, proof: 'exhaustive', at, exact };
}

function agrees(segment: PlanSegment, expected: (input: bigint) => readonly bigint[]): boolean {
  for (let input = segment.from; input <= segment.to; input++) {
    const wanted = expected(input);
    if (runSegment(segment, input).some((word, i) => word !== wanted[i])) return false;
  }
  return true;
}

type Measured = ErrorBound & { readonly at: bigint; readonly nearest: boolean };

function measureLine(segment: PlanSegment, ideal: LineIdeal): Measured {
  // Exact word = (p * input + q) / r, in whole numbers: 65,536 reductions to lowest terms would take seconds.
  const r = ideal.slope.den * ideal.offset.den;
  const p = ideal.slope.num * ideal.offset.den;
  const q = ideal.offset.num * ideal.slope.den;
  let worst = -1n;
  let at = segment.from;
  let nearest = true;
  for (let input = segment.from; input <= segment.to; input++) {
    const off = wordAt(segment, ideal, input) * r - (p * input + q);
    const miss = off < 0n ? -off : off;
    if (miss > worst) [worst, at] = [miss, input];
    // Half way goes up: word - exact is above -1/2 and at most 1/2.
    nearest &&= 2n * off > -r && 2n * off <= r;
  }
  const words = rational(worst, r);
  return { words, value: multiply(words, ideal.valuePerWord), at, nearest };
}

function measureCount(segment: PlanSegment, ideal: CountIdeal): Measured {
  const { total, clock } = ideal;
  let words = { num: -1n, den: 1n };
  let value = { num: 0n, den: 1n };
  let at = segment.from;
  let nearest = true;
  for (let input = segment.from; input <= segment.to; input++) {
    const size = input < 0n ? -input : input;
    const count = wordAt(segment, ideal, input) + 1n;
    const off = count * total.den * size - total.num;
    const miss = off < 0n ? -off : off;
    // Not in lowest terms, for speed; `above` needs none.
    const ofCount = { num: miss, den: total.den * size };
    // |clock / count - clock * size / total|
    const ofValue = { num: clock.num * miss, den: clock.den * count * total.num };
    if (above(ofCount, words)) [words, at] = [ofCount, input];
    if (above(ofValue, value)) value = ofValue;
    nearest &&= count === nearestCount('frequency', total.num, total.den * size);
  }
  return { words: rational(words.num, words.den), value: rational(value.num, value.den), at, nearest };
}

function wordAt(segment: PlanSegment, ideal: Ideal, input: bigint): bigint {
  const word = runSegment(segment, input)[ideal.word];
  bug(word !== undefined, 'a plan segment with too few words');
  return word;
}

function above(a: Rational, b: Rational): boolean {
  return a.num * b.den > b.num * a.den;
}

function larger(a: Rational, b: Rational): Rational {
  return compare(a, b) >= 0 ? a : b;
}
