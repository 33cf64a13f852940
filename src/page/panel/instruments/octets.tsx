import type { JSX } from 'preact';
import { toHex } from '../../../base/bytes.ts';
import { countOf } from '../../../values/refusal.ts';
import { dropDraft, entryAt, knownBytes, setDraft, writeDraft } from '../draft.ts';
import { sendable } from '../entry.ts';
import { isWritable } from '../instrument-kind.ts';
import type { InstrumentProps } from './instrument-props.ts';

/** Octets that stand for nothing else, in hex. */
export function Octets({ sides }: InstrumentProps): JSX.Element {
  const { type, label, access, maxLength } = sides.definition;
  const known = knownBytes(sides);
  const entry = entryAt(sides);
  const octets = sendable(type, entry);
  return (
    <div class="panel-instrument panel-text">
      <p class={known.length === 0 ? 'panel-octets mono panel-nothing' : 'panel-octets mono'}>
        {known.length === 0 ? 'no octets' : toHex(known, ' ').toUpperCase()}
      </p>
      {isWritable(sides.definition) && (
        <input
          class="panel-line mono"
          aria-label={`${label}, octets in hex`}
          autocomplete="off"
          spellcheck={false}
          value={entry.kind === 'typed' ? entry.text : ''}
          onInput={({ currentTarget }) => {
            setDraft(sides, { kind: 'typed', text: currentTarget.value });
          }}
          onKeyDown={(event) => {
            if (event.key === 'Enter') void writeDraft(sides, access.includes('write'));
            else if (event.key === 'Escape') dropDraft(sides);
            else return;
            event.preventDefault();
          }}
        />
      )}
      <p class="panel-note">
        {octets.ok ? octets.bytes.length : known.length} of {countOf(maxLength, 'octet')}
      </p>
    </div>
  );
}
