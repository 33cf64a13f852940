import type { JSX, TargetedKeyboardEvent } from 'preact';
import type { EnumType } from '../../../values/type.ts';
import { isConnected } from '../../stores/board.ts';
import { draftOf, knownBytes, pressAndWrite } from '../draft.ts';
import { isWritable } from '../instrument-kind.ts';
import { physicalOfBytes } from '../plate-text.ts';
import { signal } from '@preact/signals';
import type { ValueSides } from '../../stores/values.ts';
import type { InstrumentProps } from './instrument-props.ts';

/** More names than this stand in a list instead of side by side. */
const mostSegments = 6;

/** One name of several: a press writes it; the segment is filled when the board has it. */
export function Choice({ sides, labelId }: InstrumentProps): JSX.Element {
  const { type } = sides.definition;
  if (type.kind !== 'enum') return <></>;
  const held = codeOf(type, knownBytes(sides));
  const draft = draftOf(sides).value;
  const wished = draft?.kind === 'chosen' && draft.physical.kind === 'choice' ? draft.physical.code : undefined;
  const writable = isWritable(sides.definition);
  const off = !writable || !isConnected.value;
  const named = type.names.some(({ code }) => code === held);
  const press = (code: bigint): void => {
    const name = type.names.find((entry) => entry.code === code)?.name;
    void pressAndWrite(sides, { kind: 'chosen', physical: { kind: 'choice', code, name } });
  };
  return (
    <div class="panel-instrument panel-choice">
      <div
        class={type.names.length > mostSegments ? 'panel-list' : 'panel-segments'}
        role="radiogroup"
        aria-labelledby={labelId}
        aria-disabled={off}
      >
        {type.names.map(({ code, name }, i) => (
          <button
            key={name}
            type="button"
            role="radio"
            class={code === wished ? 'panel-segment panel-segment-waiting' : 'panel-segment'}
            aria-checked={code === held}
            tabIndex={code === held || (!named && i === 0) ? 0 : -1}
            disabled={off}
            onClick={() => {
              press(code);
            }}
            onKeyDown={moveFocus}
          >
            {name} <span class="panel-code mono">{code.toString()}</span>
          </button>
        ))}
      </div>
      {!named && <p class="panel-note">▲ {held === undefined ? 'no code' : `code ${held} has no name`}</p>}
      {writable && <OtherCode sides={sides} off={off} press={press} />}
    </div>
  );
}

/** Arrow keys go from name to name; a press is left to Enter and Space, because it writes. */
function moveFocus(event: TargetedKeyboardEvent<HTMLButtonElement>): void {
  const forward = event.key === 'ArrowRight' || event.key === 'ArrowDown';
  if (!forward && event.key !== 'ArrowLeft' && event.key !== 'ArrowUp') return;
  event.preventDefault();
  const { currentTarget } = event;
  const group = [...(currentTarget.parentElement?.querySelectorAll<HTMLElement>('[role=radio]') ?? [])];
  const at = group.indexOf(currentTarget);
  group[(at + (forward ? 1 : -1) + group.length) % group.length]?.focus();
}

const otherCodes = new WeakMap<ValueSides, ReturnType<typeof signal<string>>>();

/** Any code, also one without a name: to see what the board says to it. */
function OtherCode(props: {
  readonly sides: ValueSides;
  readonly off: boolean;
  readonly press: (code: bigint) => void;
}): JSX.Element {
  const { sides, off, press } = props;
  const text = otherCodes.get(sides) ?? signal<string>('');
  otherCodes.set(sides, text);
  const bits = sides.definition.type.kind === 'enum' ? sides.definition.type.bits : 8;
  const code = /^\d{1,10}$/.test(text.value ?? '') ? BigInt(text.value ?? '') : undefined;
  const sendable = code !== undefined && code < 1n << BigInt(bits);
  return (
    <form
      class="panel-field"
      onSubmit={(event) => {
        event.preventDefault();
        if (sendable && !off) press(code);
      }}
    >
      <label>
        <span class="panel-field-step">another code</span>{' '}
        <input
          class="panel-number"
          inputMode="numeric"
          autocomplete="off"
          size={4}
          aria-label={`${sides.definition.label}, another code`}
          value={text.value}
          onInput={({ currentTarget }) => {
            text.value = currentTarget.value;
          }}
        />
      </label>
      <button type="submit" disabled={off || !sendable}>
        Write
      </button>
    </form>
  );
}

function codeOf(type: EnumType, raw: Uint8Array): bigint | undefined {
  const physical = physicalOfBytes(type, raw);
  return physical?.kind === 'choice' ? physical.code : undefined;
}
