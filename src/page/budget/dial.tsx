import type { JSX } from 'preact';
import type { BudgetPart } from '../../budget/budget.ts';
import { movedTo, placeOf, positions, type Course } from './course.ts';
import { lookAt } from './reckoned.ts';

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
        value={placeOf(course, value)}
        onInput={({ currentTarget }) => {
          move(movedTo(course, value, Number(currentTarget.value)));
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
