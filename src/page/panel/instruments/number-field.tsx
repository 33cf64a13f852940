import type { JSX } from 'preact';
import { unitSymbol } from '../../../numbers/units.ts';
import { readableNumber, showRange, withUnit } from '../../../values/show-number.ts';
import { resolution } from '../../../values/scale.ts';
import type { FloatType, IntegerType, PhysicalRange } from '../../../values/type.ts';
import { fullPhysicalRange } from '../../../values/scale.ts';
import type { Rational } from '../../../base/rational.ts';
import { zero } from '../../../base/rational.ts';
import { entryOfPhysical, physicalOf, type Entry } from '../entry.ts';
import { moved, stepsOf } from '../dial-scale.ts';

export type NumberFieldProps = {
  readonly type: IntegerType | FloatType;
  /** Says what is entered: `Paddle frequency`. */
  readonly name: string;
  readonly entry: Entry;
  readonly change: (entry: Entry) => void;
  /** Enter. */
  readonly write: () => void;
  /** Escape. */
  readonly undo: () => void;
  /** What is said behind the field; default its unit and step. */
  readonly note?: string;
};

/** Exact entry of a number with its unit: typed, or stepped by the arrow keys; Enter writes, Escape goes back. */
export function NumberField(props: NumberFieldProps): JSX.Element {
  const { type, name, entry, change, write, undo } = props;
  const symbol = unitSymbol(type.unit);
  const bad = !physicalOf(type, entry).ok;
  return (
    <label class="panel-field">
      <span class="unseen">
        {name}, exact value{symbol === '' ? '' : ` in ${symbol}`}
        {type.range === undefined ? '' : `, allowed ${showRange(type.range, type.unit)}`}
      </span>
      <input
        class="panel-number"
        inputMode="decimal"
        autocomplete="off"
        spellcheck={false}
        size={9}
        value={entry.kind === 'typed' ? entry.text : ''}
        aria-invalid={bad}
        onInput={({ currentTarget }) => {
          change({ kind: 'typed', text: currentTarget.value });
        }}
        onKeyDown={(event) => {
          const next = keyMoves(event.key, type, entry);
          if (next !== undefined) change(next);
          else if (event.key === 'Enter') write();
          else if (event.key === 'Escape') undo();
          else return;
          event.preventDefault();
        }}
      />
      <span class="panel-field-unit">
        {symbol}
        <span class="panel-field-step">{props.note ?? stepText(type)}</span>
      </span>
    </label>
  );
}

/** `step 0.01 Hz`; empty for a number without steps. */
function stepText(type: IntegerType | FloatType): string {
  const step = type.step ?? resolution(type);
  return step === undefined ? '' : `step ${withUnit(readableNumber(step), type.unit)}`;
}

/** Where a value may be moved to by keys: the contract's range, else what the width holds. */
function keyRange(type: IntegerType | FloatType): PhysicalRange | undefined {
  return type.kind === 'integer' && !type.bounded ? fullPhysicalRange(type.bits, type.signed, type.scale) : type.range;
}

/** The entry that an arrow or page key makes of this one; `undefined` for other keys. */
export function keyMoves(key: string, type: IntegerType | FloatType, entry: Entry): Entry | undefined {
  const count = key === 'ArrowUp' || key === 'PageUp' ? 1 : key === 'ArrowDown' || key === 'PageDown' ? -1 : 0;
  const range = keyRange(type);
  if (count === 0 || range === undefined) return undefined;
  const { fine, coarse } = stepsOf(type, range);
  const physical = physicalOf(type, entry);
  const from: Rational = physical.ok && physical.value.kind === 'number' ? physical.value.value : zero;
  const value = moved(from, count, key.startsWith('Page') ? coarse : fine, range);
  return entryOfPhysical(type, { kind: 'number', value });
}
