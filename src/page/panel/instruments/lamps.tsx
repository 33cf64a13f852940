import type { JSX } from 'preact';
import type { FlagsType, Physical } from '../../../values/type.ts';
import { isConnected } from '../../stores/board.ts';
import { draftOf, knownBytes, pressAndWrite } from '../draft.ts';
import { isWritable } from '../instrument-kind.ts';
import { physicalOfBytes } from '../plate-text.ts';
import type { InstrumentProps } from './instrument-props.ts';
import lampsStyles from './lamps.css?inline';
import { adoptStyles } from '../../styles/adopt.ts';

adoptStyles(lampsStyles);

/** Flags as lamps, pressed where they can be written; a boolean that is only shown is one lamp. */
export function Lamps({ sides, labelId }: InstrumentProps): JSX.Element {
  const { type, label } = sides.definition;
  const held = physicalOfBytes(type, knownBytes(sides));
  if (type.kind !== 'flags') {
    const on = held?.kind === 'boolean' && held.value;
    return (
      <div class="panel-instrument">
        <Lamp name={on ? 'on' : 'off'} note="" on={on} said={label} />
      </div>
    );
  }
  const set = held?.kind === 'flags' ? held.set : [];
  const unnamed = held?.kind === 'flags' ? held.unnamed : 0n;
  const draft = draftOf(sides).value;
  const wished = draft?.kind === 'chosen' && draft.physical.kind === 'flags' ? draft.physical.set : undefined;
  const writable = isWritable(sides.definition);
  return (
    <div class="panel-instrument">
      <ul class="panel-lamps" aria-labelledby={labelId}>
        {type.names.map(({ bit, name }) => {
          const on = set.includes(name);
          return (
            <li key={name}>
              {writable ? (
                <button
                  type="button"
                  class="panel-lamp-button"
                  role="switch"
                  aria-checked={on}
                  aria-label={name}
                  disabled={!isConnected.value}
                  onClick={() =>
                    void pressAndWrite(sides, { kind: 'chosen', physical: turnedOver(type, set, unnamed, name) })
                  }
                >
                  <Lamp name={name} note={`bit ${bit}`} on={on} waiting={wished?.includes(name) === !on} />
                </button>
              ) : (
                <Lamp name={name} note={`bit ${bit}`} on={on} said={name} />
              )}
            </li>
          );
        })}
      </ul>
      {unnamed !== 0n && <p class="panel-note">▲ bits without a name are set: 0x{unnamed.toString(16)}</p>}
    </div>
  );
}

function turnedOver(type: FlagsType, set: readonly string[], unnamed: bigint, name: string): Physical {
  const next = type.names.map((entry) => entry.name).filter((one) => set.includes(one) !== (one === name));
  return { kind: 'flags', set: next, unnamed };
}

/** Lit in the board's ink, with a cross of rays: not by colour alone. */
function Lamp(props: {
  readonly name: string;
  readonly note: string;
  readonly on: boolean;
  readonly waiting?: boolean | undefined;
  /** For who does not see it; `undefined` where the button says it. */
  readonly said?: string;
}): JSX.Element {
  const { name, note, on, waiting, said } = props;
  return (
    <span class={`panel-lamp${on ? ' panel-lamp-on' : ''}${waiting === true ? ' panel-lamp-waiting' : ''}`}>
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <circle cx="12" cy="12" r="6.5" />
        {on && (
          <path d="M12 1v3M12 20v3M1 12h3M20 12h3M4.2 4.2l2.1 2.1M17.7 17.7l2.1 2.1M4.2 19.8l2.1-2.1M17.7 6.3l2.1-2.1" />
        )}
      </svg>
      <span>{name}</span>
      <span class="panel-code mono">{note}</span>
      {said !== undefined && <span class="unseen">{on ? ', on' : ', off'}</span>}
    </span>
  );
}
