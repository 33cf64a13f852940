import type { JSX } from 'preact';
import { parsePhysical } from '../../../values/parse.ts';
import { showPhysical } from '../../../values/show.ts';
import type { FlagsType, Physical, ValueType } from '../../../values/type.ts';
import { entryOfPhysical, physicalOf, type Entry } from '../entry.ts';
import { NumberField } from './number-field.tsx';

export type PartFieldProps = {
  readonly type: ValueType;
  readonly name: string;
  readonly entry: Entry;
  readonly change: (entry: Entry) => void;
  readonly write: () => void;
  readonly undo: () => void;
};

/** A field of a form, by its type. What is nested in it is typed on one line, as on the console. */
export function PartField(props: PartFieldProps): JSX.Element {
  const { type, name, entry, change } = props;
  const chosen = entry.kind === 'chosen' ? entry.physical : undefined;
  switch (type.kind) {
    case 'integer':
    case 'float':
      return <NumberField {...props} type={type} note="" />;
    case 'boolean':
      return (
        <input
          type="checkbox"
          aria-label={name}
          checked={chosen?.kind === 'boolean' && chosen.value}
          onChange={({ currentTarget }) => {
            change({ kind: 'chosen', physical: { kind: 'boolean', value: currentTarget.checked } });
          }}
        />
      );
    case 'enum':
      return (
        <select
          aria-label={name}
          value={chosen?.kind === 'choice' ? chosen.code.toString() : ''}
          onChange={({ currentTarget }) => {
            const found = type.names.find(({ code }) => code.toString() === currentTarget.value);
            if (found !== undefined) change({ kind: 'chosen', physical: { kind: 'choice', ...found } });
          }}
        >
          {type.names.map((one) => (
            <option key={one.name} value={one.code.toString()}>
              {one.name}
            </option>
          ))}
        </select>
      );
    case 'flags':
      return <FlagBoxes type={type} held={chosen} change={change} />;
    case 'text':
    case 'bytes':
      return (
        <LineField
          {...props}
          text={entry.kind === 'typed' ? entry.text : ''}
          read={(text) => ({ kind: 'typed', text })}
        />
      );
    case 'struct':
    case 'array':
      return <LineField {...props} text={nestedText(type, entry)} read={(text) => nestedEntry(type, text)} />;
  }
}

function FlagBoxes(props: {
  readonly type: FlagsType;
  readonly held: Physical | undefined;
  readonly change: (entry: Entry) => void;
}): JSX.Element {
  const { type, held, change } = props;
  const set = held?.kind === 'flags' ? held.set : [];
  const unnamed = held?.kind === 'flags' ? held.unnamed : 0n;
  return (
    <span class="panel-boxes">
      {type.names.map(({ name }) => (
        <label key={name}>
          <input
            type="checkbox"
            checked={set.includes(name)}
            onChange={({ currentTarget }) => {
              const names = type.names.map((one) => one.name);
              const next = names.filter((one) => (one === name ? currentTarget.checked : set.includes(one)));
              change({ kind: 'chosen', physical: { kind: 'flags', set: next, unnamed } });
            }}
          />{' '}
          {name}
        </label>
      ))}
    </span>
  );
}

function LineField(
  props: PartFieldProps & { readonly text: string; readonly read: (text: string) => Entry },
): JSX.Element {
  const { name, text, read, change, write, undo } = props;
  return (
    <input
      class="panel-line"
      aria-label={name}
      autocomplete="off"
      value={text}
      onInput={({ currentTarget }) => {
        change(read(currentTarget.value));
      }}
      onKeyDown={(event) => {
        if (event.key === 'Enter') write();
        else if (event.key === 'Escape') undo();
        else return;
        event.preventDefault();
      }}
    />
  );
}

function nestedText(type: ValueType, entry: Entry): string {
  if (entry.kind === 'typed') return entry.text;
  const physical = physicalOf(type, entry);
  return physical.ok ? showPhysical(type, physical.value, { unit: false }) : '';
}

/** As far as it can be read the value, else the text as typed. */
function nestedEntry(type: ValueType, text: string): Entry {
  const physical = parsePhysical(type, text);
  const entry = physical.ok ? entryOfPhysical(type, physical.value) : undefined;
  return entry !== undefined && nestedText(type, entry) === text ? entry : { kind: 'typed', text };
}
