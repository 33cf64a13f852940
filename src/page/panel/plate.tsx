import type { JSX } from 'preact';
import { ByteRuler } from '../ruler/byte-ruler.tsx';
import type { ValueDefinition } from '../../table/model.ts';
import type { ValueSides } from '../stores/values.ts';
import { instrumentOf } from './instrument-kind.ts';
import { Instrument } from './instruments/instrument.tsx';
import { accessText } from './plate-text.ts';
import { PlateActs } from './plate-acts.tsx';
import { PlateSides } from './plate-sides.tsx';
import { PlateWords } from './plate-words.tsx';

export type PlateProps = {
  readonly sides: ValueSides;
  /** Columns of the row. */
  readonly parts: number;
};

/** One characteristic: label and access, instrument, truth beside air, what can be done, and the octets at the foot. */
export function Plate({ sides, parts }: PlateProps): JSX.Element {
  const { definition } = sides;
  const labelId = plateLabelId(definition.index);
  const kind = instrumentOf(definition);
  return (
    <section
      class={`panel-plate panel-of-${kind}`}
      style={{ gridColumn: `span ${parts}` }}
      aria-labelledby={labelId}
      data-value={definition.id}
    >
      <header class="panel-head">
        <h2 id={labelId} class="panel-label">
          {definition.label}
        </h2>
        <span class="panel-access">
          {accessText(definition)}
          <Subscribed sides={sides} />
        </span>
      </header>
      <Instrument kind={kind} sides={sides} labelId={labelId} />
      <PlateSides sides={sides} />
      <PlateWords sides={sides} />
      <div class={isShort(definition) ? 'panel-end panel-end-short' : 'panel-end'}>
        <PlateActs sides={sides} kind={kind} />
        <PlateFoot sides={sides} />
      </div>
    </section>
  );
}

/** So few octets that their ruler stands beside the acts. */
function isShort({ type, maxLength }: ValueDefinition): boolean {
  return maxLength <= 4 && type.kind !== 'struct' && type.kind !== 'text';
}

export function plateLabelId(index: number): string {
  return `panel-label-${index}`;
}

function Subscribed({ sides }: { readonly sides: ValueSides }): JSX.Element | null {
  if (sides.definition.cccd === undefined) return null;
  return sides.subscribed.value === 0 ? (
    <span> · not subscribed</span>
  ) : (
    <span>
      {' · '}
      <span class="panel-subscribed air-ink">● subscribed</span>
    </span>
  );
}

/** The octets as they are on the board, or, where it does not tell, as they crossed last. */
function PlateFoot({ sides }: { readonly sides: ValueSides }): JSX.Element {
  const { type, label } = sides.definition;
  const truth = sides.truth.value;
  const bytes = truth?.raw ?? sides.air.value?.raw;
  return (
    <div class="panel-foot" style={{ '--octets': `${Math.max(1, sides.definition.maxLength)}` }}>
      <ByteRuler type={type} bytes={bytes} ink={truth === undefined ? 'air' : 'board'} size="plate" name={label} />
    </div>
  );
}
