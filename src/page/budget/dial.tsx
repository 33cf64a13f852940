import type { JSX } from 'preact';
import type { BudgetPart } from '../../budget/budget.ts';
import { lookAt } from './reckoned.ts';

/** Steps of a slider from end to end. */
const positions = 400;

/** How a slider goes through its values. */
export type Course = {
  readonly from: number;
  readonly to: number;
  readonly kind: 'linear' | 'log';
  /** To a value that may be. */
  round(value: number): number;
};

/** A quantity that can be dragged and typed: the same signal may stand beside several drawings. */
export function Dial(props: {
  readonly label: string;
  readonly unit: string;
  /** In the model’s unit; shown divided by `per`. */
  readonly value: number;
  readonly per?: number;
  readonly course: Course;
  readonly part: BudgetPart;
  /** Differs from the contract’s. */
  readonly isTried?: boolean;
  readonly onChange: (value: number) => void;
}): JSX.Element {
  const { label, unit, value, per = 1, course, part, isTried = false, onChange } = props;
  const shown = String(Number((value / per).toPrecision(7)));
  const move = (to: number): void => {
    lookAt(part);
    onChange(to);
  };
  return (
    <div class={isTried ? 'budget-dial budget-dial-tried' : 'budget-dial'}>
      <span class="budget-dial-label">
        {label}
        {isTried && <span class="budget-dial-mark"> tried</span>}
      </span>
      <input
        type="range"
        aria-label={label}
        aria-valuetext={`${shown} ${unit}`}
        min={0}
        max={positions}
        value={Math.round(positions * shareOf(course, value))}
        onInput={({ currentTarget }) => {
          move(course.round(valueAt(course, Number(currentTarget.value) / positions)));
        }}
      />
      <span class="budget-dial-entry">
        <input
          type="text"
          inputMode="decimal"
          aria-label={`${label}, exact${unit === '' ? '' : `, in ${unit}`}`}
          value={shown}
          onChange={({ currentTarget }) => {
            const typed = Number(currentTarget.value.trim().replace(',', '.'));
            if (currentTarget.value.trim() === '' || !Number.isFinite(typed) || typed < 0) currentTarget.value = shown;
            else move(typed * per);
          }}
        />
        <span>{unit}</span>
      </span>
    </div>
  );
}

/** One of a few words. */
export function Choice<Word extends string>(props: {
  readonly label: string;
  readonly words: readonly Word[];
  readonly chosen: Word;
  readonly part: BudgetPart;
  readonly isTried?: boolean;
  readonly onChoose: (word: Word) => void;
}): JSX.Element {
  const { label, words, chosen, part, isTried = false, onChoose } = props;
  return (
    <div class={isTried ? 'budget-dial budget-dial-tried' : 'budget-dial'} role="radiogroup" aria-label={label}>
      <span class="budget-dial-label">
        {label}
        {isTried && <span class="budget-dial-mark"> tried</span>}
      </span>
      <span class="budget-choice">
        {words.map((word) => (
          <label key={word}>
            <input
              type="radio"
              name={`budget-${part}-${label}`}
              checked={word === chosen}
              onChange={() => {
                lookAt(part);
                onChoose(word);
              }}
            />
            <span>{word}</span>
          </label>
        ))}
      </span>
    </div>
  );
}

function shareOf({ from, to, kind }: Course, value: number): number {
  const share =
    kind === 'log' ? Math.log(Math.max(value, from) / from) / Math.log(to / from) : (value - from) / (to - from);
  return Math.min(1, Math.max(0, share));
}

function valueAt({ from, to, kind }: Course, share: number): number {
  return kind === 'log' ? from * (to / from) ** share : from + share * (to - from);
}

/** In steps, and in three digits: what a hand can set. */
export function inSteps(step: number): (value: number) => number {
  return (value) => Math.max(step, Math.round(value / step) * step);
}

export function inDigits(digits: number): (value: number) => number {
  return (value) => Number(value.toPrecision(digits));
}

export const whole = (value: number): number => Math.round(value);
