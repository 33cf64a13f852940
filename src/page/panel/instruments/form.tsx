import type { JSX } from 'preact';
import { showPhysical } from '../../../values/show.ts';
import { unitSymbol } from '../../../numbers/units.ts';
import type { Physical, ValueType } from '../../../values/type.ts';
import { allowedWords, onOff } from '../allowed-words.ts';
import { plateDigits } from '../decimal.ts';
import { dropDraft, entryAt, knownBytes, setDraft, writeDraft } from '../draft.ts';
import type { Entry } from '../entry.ts';
import { isWritable } from '../instrument-kind.ts';
import { physicalOfBytes } from '../plate-text.ts';
import { PartField } from './part-field.tsx';
import type { InstrumentProps } from './instrument-props.ts';

/** A struct: its fields in their order, what the board holds of each, and where it can be written a field to enter it. */
export function Form({ sides, labelId }: InstrumentProps): JSX.Element {
  const { type, access } = sides.definition;
  const writable = isWritable(sides.definition);
  const held = physicalOfBytes(type, knownBytes(sides));
  const entry = entryAt(sides);
  const parts = partsOf(type, held);
  const keys = {
    write: () => void writeDraft(sides, access.includes('write')),
    undo: () => {
      dropDraft(sides);
    },
  };
  return (
    <div class="panel-instrument">
      <table class="panel-form" aria-labelledby={labelId}>
        <tbody>
          {parts.map((part, i) => (
            <tr key={part.label}>
              <th scope="row">{part.label}</th>
              <td class="panel-form-value">
                <span class="panel-form-number">{part.value}</span>
                <span class="panel-form-unit">{part.unit}</span>
              </td>
              {writable && (
                <td>
                  <PartField
                    type={part.type}
                    name={part.label}
                    entry={partOf(entry, i)}
                    change={(changed) => {
                      setDraft(sides, withPart(entry, i, changed));
                    }}
                    {...keys}
                  />
                </td>
              )}
              <td class="panel-form-allowed">{writable ? allowedWords(part.type) : ''}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

type Part = { readonly label: string; readonly type: ValueType; readonly value: string; readonly unit: string };

function partsOf(type: ValueType, held: Physical | undefined): readonly Part[] {
  if (type.kind === 'struct') {
    return type.fields.map(({ label, type: part }, i) => {
      const value = held?.kind === 'record' ? held.fields[i]?.value : undefined;
      return { label, type: part, ...partText(part, value) };
    });
  }
  if (type.kind !== 'array') return [];
  const items = held?.kind === 'list' ? held.items : [];
  return items.map((item, i) => ({ label: `${i + 1}`, type: type.element, ...partText(type.element, item) }));
}

function partText(type: ValueType, value: Physical | undefined): { readonly value: string; readonly unit: string } {
  if (value === undefined) return { value: '–', unit: '' };
  if (value.kind === 'number' && (type.kind === 'integer' || type.kind === 'float')) {
    return { value: plateDigits(type, value.value), unit: unitSymbol(type.unit) };
  }
  if (value.kind === 'list' && value.items.length > 4) {
    const unit = type.kind === 'array' && 'unit' in type.element ? unitSymbol(type.element.unit) : '';
    return { value: `${value.items.length} values`, unit: unit === '' ? '' : `in ${unit}` };
  }
  return { value: onOff(showPhysical(type, value)), unit: '' };
}

function partOf(entry: Entry, index: number): Entry {
  const parts = entry.kind === 'record' ? entry.fields : entry.kind === 'list' ? entry.items : [];
  return parts[index] ?? { kind: 'typed', text: '' };
}

/** The entry with one of its parts changed. */
export function withPart(entry: Entry, index: number, part: Entry): Entry {
  if (entry.kind === 'record')
    return { kind: 'record', fields: entry.fields.map((one, i) => (i === index ? part : one)) };
  if (entry.kind === 'list') return { kind: 'list', items: entry.items.map((one, i) => (i === index ? part : one)) };
  return entry;
}
