import type { JSX } from 'preact';
import type { ValueSides } from '../../stores/values.ts';
import { dropDraft, entryAt, setDraft, writeDraft } from '../draft.ts';

export type LineInputProps = {
  readonly sides: ValueSides;
  /** What it is, to those who do not see where it stands. */
  readonly name: string;
  readonly placeholder?: string;
  readonly mono?: boolean;
};

/** A line on which the whole value is typed: Enter writes it, Escape takes it back. */
export function LineInput({ sides, name, placeholder, mono = false }: LineInputProps): JSX.Element {
  const entry = entryAt(sides);
  return (
    <input
      class={mono ? 'panel-line mono' : 'panel-line'}
      aria-label={name}
      autocomplete="off"
      spellcheck={false}
      placeholder={placeholder}
      value={entry.kind === 'typed' ? entry.text : ''}
      onInput={({ currentTarget }) => {
        setDraft(sides, { kind: 'typed', text: currentTarget.value });
      }}
      onKeyDown={(event) => {
        if (event.key === 'Enter') void writeDraft(sides, sides.definition.access.includes('write'));
        else if (event.key === 'Escape') dropDraft(sides);
        else return;
        event.preventDefault();
      }}
    />
  );
}
