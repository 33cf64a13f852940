import type { JSX } from 'preact';
import { isConnected } from '../../stores/board.ts';
import { draftOf, knownBytes, pressAndWrite } from '../draft.ts';
import { physicalOfBytes } from '../plate-text.ts';
import type { InstrumentProps } from './instrument-props.ts';

/** A boolean that can be written: a press writes the other state; the slide moves when the board has it. */
export function Switch({ sides, labelId }: InstrumentProps): JSX.Element {
  const { type } = sides.definition;
  const physical = physicalOfBytes(type, knownBytes(sides));
  const on = physical?.kind === 'boolean' && physical.value;
  const waiting = draftOf(sides).value !== undefined;
  return (
    <div class="panel-instrument panel-switch-place">
      <button
        type="button"
        class={`panel-switch${on ? ' panel-switch-on' : ''}${waiting ? ' panel-switch-waiting' : ''}`}
        role="switch"
        aria-checked={on}
        aria-labelledby={labelId}
        disabled={!isConnected.value}
        onClick={() => void pressAndWrite(sides, { kind: 'chosen', physical: { kind: 'boolean', value: !on } })}
      >
        <svg viewBox="0 0 72 36" aria-hidden="true">
          <rect class="panel-switch-slot" x="1" y="1" width="70" height="34" />
          <text class="panel-switch-word" x="18" y="22.5" text-anchor="middle">
            {on ? 'on' : ''}
          </text>
          <text class="panel-switch-word" x="54" y="22.5" text-anchor="middle">
            {on ? '' : 'off'}
          </text>
          {waiting && <rect class="panel-switch-ghost" x={on ? 5 : 37} y="5" width="30" height="26" />}
          <rect class="panel-switch-slide" x="5" y="5" width="30" height="26" />
        </svg>
      </button>
      <p class="panel-figure panel-figure-word">{on ? 'on' : 'off'}</p>
    </div>
  );
}
