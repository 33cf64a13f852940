import type { JSX } from 'preact';
import { dropDraft, entryAt, knownBytes, setDraft, writeDraft } from '../draft.ts';
import { isWritable } from '../instrument-kind.ts';
import { Digits } from '../digits.tsx';
import type { InstrumentProps } from './instrument-props.ts';
import { NumberField } from './number-field.tsx';

/** A number without a scale: its figure, and where it can be written the exact entry. */
export function Figure({ sides }: InstrumentProps): JSX.Element {
  const { type, label, access } = sides.definition;
  if (type.kind !== 'integer' && type.kind !== 'float') return <></>;
  return (
    <div class="panel-instrument panel-plain">
      <Digits type={type} bytes={knownBytes(sides)} />
      {isWritable(sides.definition) && (
        <NumberField
          type={type}
          name={label}
          entry={entryAt(sides)}
          change={(entry) => {
            setDraft(sides, entry);
          }}
          write={() => void writeDraft(sides, access.includes('write'))}
          undo={() => {
            dropDraft(sides);
          }}
        />
      )}
    </div>
  );
}
