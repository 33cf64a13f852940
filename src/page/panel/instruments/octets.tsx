import type { JSX } from 'preact';
import { toHex } from '../../../base/bytes.ts';
import { countOf } from '../../../values/refusal.ts';
import { entryAt, knownBytes } from '../draft.ts';
import { sendable } from '../entry.ts';
import { isWritable } from '../instrument-kind.ts';
import type { InstrumentProps } from './instrument-props.ts';
import { LineInput } from './line-input.tsx';
import octetsStyles from './octets.css?inline';
import { adoptStyles } from '../../styles/adopt.ts';

adoptStyles(octetsStyles);

/** Octets that stand for nothing else, in hex. */
export function Octets({ sides }: InstrumentProps): JSX.Element {
  const { type, label, maxLength } = sides.definition;
  const known = knownBytes(sides);
  const octets = sendable(type, entryAt(sides));
  return (
    <div class="panel-instrument panel-text">
      <p class={known.length === 0 ? 'panel-octets mono panel-nothing' : 'panel-octets mono'}>
        {known.length === 0 ? 'no octets' : toHex(known, ' ').toUpperCase()}
      </p>
      {isWritable(sides.definition) && (
        <LineInput sides={sides} name={`${label}, octets in hex`} placeholder="0A 1B …" mono />
      )}
      <p class="panel-note">
        {octets.ok ? octets.bytes.length : known.length} of {countOf(maxLength, 'octet')}
      </p>
    </div>
  );
}
