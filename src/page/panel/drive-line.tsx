import type { JSX } from 'preact';
import { explainDrive } from '../../values/drives/explain.ts';
import type { ValueSides } from '../stores/values.ts';
import { draftOf, knownBytes } from './draft.ts';
import { physicalOf } from './entry.ts';
import { physicalOfBytes } from './plate-text.ts';

/** The register word that the value becomes, and the value really produced; of what is entered, where something is. */
export function DriveLine({ sides }: { readonly sides: ValueSides }): JSX.Element | null {
  const { drive, type } = sides.definition;
  if (drive === undefined) return null;
  const draft = draftOf(sides).value;
  const entered = draft === undefined ? undefined : physicalOf(type, draft);
  const held = physicalOfBytes(type, knownBytes(sides));
  const value = entered?.ok === true && entered.value.kind === 'number' ? entered.value.value : undefined;
  const shown = value ?? (held?.kind === 'number' ? held.value : undefined);
  if (shown === undefined) return null;
  return (
    <p class="panel-note panel-drive">
      <span class={value === undefined ? 'board-ink' : ''}>{value === undefined ? 'Drive' : 'Drive would be'}</span>{' '}
      <span class="mono">{explainDrive(drive, type, shown)}</span>
    </p>
  );
}
