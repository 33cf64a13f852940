import type { JSX } from 'preact';
import { countOf } from '../../../values/refusal.ts';
import { link } from '../../stores/board.ts';
import { entryAt, knownBytes } from '../draft.ts';
import { sendable } from '../entry.ts';
import { isWritable } from '../instrument-kind.ts';
import { physicalOfBytes } from '../plate-text.ts';
import { writeHint } from '../write-hint.ts';
import type { InstrumentProps } from './instrument-props.ts';
import { LineInput } from './line-input.tsx';

/** A text: as the board holds it, and where it can be written a line to type it on, with its length against the limit. */
export function TextLine({ sides }: InstrumentProps): JSX.Element {
  const { type, label, maxLength } = sides.definition;
  const known = knownBytes(sides);
  const physical = physicalOfBytes(type, known);
  const text = physical?.kind === 'text' ? physical.value : undefined;
  const writable = isWritable(sides.definition);
  const octets = sendable(type, entryAt(sides));
  const length = octets.ok ? octets.bytes.length : known.length;
  const state = link.value;
  const mtu = state.kind === 'connected' ? state.mtu : 23;
  return (
    <div class="panel-instrument panel-text">
      <p class={text === '' || text === undefined ? 'panel-words-held panel-nothing' : 'panel-words-held'}>
        {text === undefined ? 'no text of this encoding' : text === '' ? 'empty' : text}
      </p>
      {writable && (
        <>
          <LineInput sides={sides} name={`${label}, text to write`} placeholder="Type a text, then write it" />
          <p class="panel-note">
            {length} of {countOf(maxLength, 'octet')}
            {length > maxLength ? ' ▲ too long' : ''} · {writeHint(length, mtu)}
          </p>
        </>
      )}
      {!writable && (
        <p class="panel-note">
          {known.length} of {countOf(maxLength, 'octet')}
        </p>
      )}
    </div>
  );
}
