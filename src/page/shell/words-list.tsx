import type { JSX } from 'preact';
import { takeAway, words } from '../stores/words.ts';

const marks = { told: '', caution: '▲ ', refused: '▲ ' } as const;

/** What the page has to say, over the foot of the window. */
export function WordsList(): JSX.Element {
  return (
    <div class="shell-words" role="status" aria-live="polite">
      {words.value.map(({ id, kind, text, detail }) => (
        <div key={id} class={`shell-words-one shell-words-${kind}`}>
          <p>
            <span aria-hidden="true">{marks[kind]}</span>
            {text}
            {detail !== undefined && <span class="shell-words-detail mono">{detail}</span>}
          </p>
          <button
            type="button"
            class="plain"
            onClick={() => {
              takeAway(id);
            }}
          >
            Close
          </button>
        </div>
      ))}
    </div>
  );
}
