import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { CaseResult } from '../../proof/verdict.ts';
import { CaseBody } from './case-body.tsx';
import { Prose } from './prose.tsx';
import { attention } from './run-facts.ts';
import { verdictWords } from './verdict-words.ts';

/** Cases told in full at once; one fault may make hundreds fail. */
const step = 5;
const most = signal(step);

/** What failed and what nothing was learned about, in full, first things first. */
export function Attention(): JSX.Element | null {
  const all = attention.value;
  if (all.length === 0) return null;
  const left = all.length - most.value;
  return (
    <section class="proof-attention" aria-labelledby="proof-attention">
      <h2 id="proof-attention">What needs attention</h2>
      {all.slice(0, most.value).map((one) => (
        <CaseSheet key={one.id} one={one} />
      ))}
      {left > 0 && (
        <button
          type="button"
          onClick={() => {
            most.value += step;
          }}
        >
          Show more of the {left} others
        </button>
      )}
    </section>
  );
}

function CaseSheet({ one }: { readonly one: CaseResult }): JSX.Element {
  return (
    <article class="proof-sheet">
      <header>
        <strong class="proof-verdict">{verdictWords(one)}</strong>
        <h3>
          <Prose text={one.about} />
        </h3>
        <code>{one.id}</code>
      </header>
      <CaseBody one={one} />
    </article>
  );
}
