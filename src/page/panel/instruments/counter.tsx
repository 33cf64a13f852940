import type { JSX } from 'preact';
import { knownBytes } from '../draft.ts';
import { physicalOfBytes } from '../plate-text.ts';
import type { InstrumentProps } from './instrument-props.ts';

/** Digits that are always there. */
const leastDigits = 6;

/** A count on wheels, leading zeros in the shade. */
export function Counter({ sides, labelId }: InstrumentProps): JSX.Element {
  const { type } = sides.definition;
  const physical = physicalOfBytes(type, knownBytes(sides));
  const count = physical?.kind === 'number' ? physical.value.num.toString() : '';
  const digits = count.padStart(leastDigits, '0');
  const leading = digits.length - count.length;
  return (
    <div class="panel-instrument panel-counter">
      <p class="panel-wheels" role="img" aria-labelledby={labelId} aria-description={count}>
        {Array.from(digits, (digit, i) => (
          <span
            key={digits.length - i}
            class={`panel-wheel${i < leading ? ' panel-wheel-idle' : ''}${(digits.length - i) % 3 === 0 && i > 0 ? ' panel-wheel-group' : ''}`}
          >
            {digit}
          </span>
        ))}
      </p>
    </div>
  );
}
