import type { JSX } from 'preact';
import { showHandle } from '../../../table/findings.ts';
import type { ValueDefinition } from '../../../table/model.ts';
import { ByteRuler } from '../../ruler/byte-ruler.tsx';
import { lastGood } from '../../stores/contract.ts';
import { goToPlace } from '../../stores/view.ts';
import { factsOf, type Fact } from './facts.ts';

export type CharacteristicEntryProps = {
  readonly number: string;
  readonly value: ValueDefinition;
  /** The editor's cursor stands in it. */
  readonly current: boolean;
};

/** One characteristic as the sheet prints it: what the board holds, what crosses, and its octets at power-up. */
export function CharacteristicEntry({ number, value, current }: CharacteristicEntryProps): JSX.Element {
  const facts = factsOf(value);
  return (
    <article class={current ? 'sheet-entry sheet-current' : 'sheet-entry'} id={`sheet-${value.id}`}>
      <header>
        <span class="sheet-number">{number}</span>
        <h4>
          <button
            type="button"
            class="plain sheet-jump"
            title="Show it in the contract"
            onClick={() => {
              // Where it stands now: the drawing may be of a text before.
              const now = lastGood.peek()?.table.values.find(({ id }) => id === value.id);
              goToPlace((now ?? value).at);
            }}
          >
            {value.label}
          </button>
        </h4>
        <span class="mono sheet-soft">{value.id}</span>
        <span class="mono sheet-handle">{showHandle(value.handle)}</span>
      </header>
      <div class="sheet-columns">
        <Facts facts={facts} />
        <figure class="sheet-ruler">
          <ByteRuler type={value.type} bytes={value.start} name={value.label} />
        </figure>
      </div>
    </article>
  );
}

function Facts({ facts }: { readonly facts: readonly Fact[] }): JSX.Element {
  return (
    <dl class="sheet-facts">
      {facts.map(({ side, term, words }, i) => (
        <div key={i} class={`sheet-fact sheet-of-${side}`}>
          <dt>{term}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}
