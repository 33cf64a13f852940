import { bug } from '../../base/bug.ts';
import {
  absolute,
  compare,
  divide,
  multiply,
  negate,
  one,
  rational,
  subtract,
  type Rational,
} from '../../base/rational.ts';
import type { CodeRange } from '../scale.ts';
import { countSteps } from './count-plan.ts';
import { onLine } from './line-draft.ts';
import { highestOf, type End } from './line.ts';
import type { TimerDrive } from './model.ts';
import { constantNumber, heldDraft, type Draft, type Ideal } from './plan-draft.ts';
import { isChain, settingValue, timerSetting, timerSpan, timerWords, type TimerSetting } from './timer.ts';

/**
 * Segments for a timer: a stretch of codes for each prescaler, found by bisection, since the prescaler only ever changes
 * one way along the codes.
 *
 * @param factor physical value of one code, not 0
 * @returns `undefined` when 64 bits do not hold it
 */
export function timerDrafts(drive: TimerDrive, factor: Rational, codes: CodeRange): readonly Draft[] | undefined {
  // Sizes run with the value, codes run with or against it.
  const upright = factor.num > 0n;
  const size = absolute(factor);
  const ends = upright ? codes : { min: -codes.max, max: -codes.min };
  const drafts: Draft[] = [];
  for (let from = ends.min; from <= ends.max;) {
    const stretch = stretchAt(drive, multiply(size, rational(from)));
    const to = lastInStretch(drive, size, from, ends.max, stretch.key);
    const made = stretchDraft(drive, factor, stretch, upright ? { min: from, max: to } : { min: -to, max: -from });
    if (made === undefined) return undefined;
    drafts.push(...made);
    from = to + 1n;
  }
  return upright ? drafts : drafts.reverse();
}

/** Values that get their words in the same way: all values with the same `key`, which lie side by side. */
type Stretch = {
  readonly key: string;
  /** `undefined`: the timer stands still. */
  readonly setting: TimerSetting | undefined;
  readonly limited: End | undefined;
};

function stretchAt(drive: TimerDrive, value: Rational): Stretch {
  if (drive.of === 'frequency' && value.num <= 0n) {
    const limited = value.num < 0n ? 'low' : undefined;
    return { key: `stopped ${limited ?? ''}`, setting: undefined, limited };
  }
  const setting = value.num <= 0n ? { index: 0, count: 1n, held: true } : planSetting(drive, value);
  const span = timerSpan(drive);
  const end = compare(value, span.min) < 0 ? 'low' : compare(value, span.max) > 0 ? 'high' : undefined;
  if (setting.held && end !== undefined) return { key: end, setting, limited: end };
  const key = `prescaler ${setting.index} ${setting.held ? `held at ${setting.count}` : ''}`;
  return { key, setting, limited: undefined };
}

/**
 * The setting that the plan takes. Where each factor divides the next it is the drive's. In other lists the least error
 * jumps to and fro between prescalers from code to code; the plan takes the lowest prescaler that reaches the value, whose
 * steps are the finest.
 */
function planSetting(drive: TimerDrive, value: Rational): TimerSetting {
  if (!isChain(drive.prescalers)) {
    for (const [index, prescaler] of drive.prescalers.entries()) {
      const alone = timerSetting({ ...drive, prescalers: [prescaler] }, value);
      if (!alone.held) return { ...alone, index };
    }
  }
  return timerSetting(drive, value);
}

/** The last size up to `end` with this key. */
function lastInStretch(drive: TimerDrive, size: Rational, from: bigint, end: bigint, key: string): bigint {
  let inside = from;
  let outside = end + 1n;
  while (outside - inside > 1n) {
    const middle = (inside + outside) / 2n;
    if (stretchAt(drive, multiply(size, rational(middle))).key === key) inside = middle;
    else outside = middle;
  }
  return inside;
}

function stretchDraft(
  drive: TimerDrive,
  factor: Rational,
  { setting, limited }: Stretch,
  { min: from, max: to }: CodeRange,
): readonly Draft[] | undefined {
  const words = timerWords(drive, setting).map((word) => word.value);
  if (setting === undefined || limited !== undefined) return heldDraft(from, to, limited, words);
  const before = words.slice(0, -1);
  const last = highestOf(drive.reloadBits);
  const oneCount = settingValue(drive, setting.index, 1n);
  if (drive.of === 'period') {
    // reload = value / oneCount - 1
    const slope = divide(factor, oneCount);
    const line = { slope, offset: negate(one), lowest: 0n, highest: last, valuePerWord: oneCount, before };
    if (!setting.held) return onLine(line, from, to);
    const ideal = { kind: 'line', word: before.length, slope, offset: line.offset, valuePerWord: oneCount } as const;
    return heldBetween(drive, factor, setting, { from, to, words, ideal });
  }
  const total = absolute(divide(oneCount, factor));
  const ideal = { kind: 'count', word: before.length, total, clock: oneCount } as const;
  if (setting.held) return heldBetween(drive, factor, setting, { from, to, words, ideal });
  const made = countSteps({ from, to, total, clock: oneCount, last: last + 1n });
  if (made === undefined) return undefined;
  const numbers = [...before.map(constantNumber), made.reload];
  return [
    {
      segment: { from, to, limited: undefined, steps: made.steps, words: numbers },
      ideal,
      exact: made.nearest,
      bound: made.bound,
    },
  ];
}

/** A prescaler held at an end because the next one's steps are farther away. Its errors are largest at the segment's ends. */
function heldBetween(
  drive: TimerDrive,
  factor: Rational,
  setting: TimerSetting,
  { from, to, words, ideal }: { from: bigint; to: bigint; words: readonly bigint[]; ideal: Ideal },
): readonly Draft[] {
  const oneCount = settingValue(drive, setting.index, 1n);
  const produced = settingValue(drive, setting.index, setting.count);
  const [first, second] = [from, to].map((code) => {
    const value = multiply(factor, rational(code));
    const real = drive.of === 'frequency' ? divide(oneCount, value) : divide(value, oneCount);
    return { words: absolute(subtract(real, rational(setting.count))), value: absolute(subtract(produced, value)) };
  });
  bug(first !== undefined && second !== undefined, 'a segment without ends');
  const bound = compare(first.words, second.words) > 0 ? first : second;
  const segment = { from, to, limited: undefined, steps: [], words: words.map(constantNumber) };
  return [{ segment, ideal, exact: true, bound }];
}
