import { effect, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { typeLine } from '../stores/console.ts';
import { paneLines, recallTyped, rememberTyped, setTellFilter, tellFilter, type TellFilter } from './console-lines.ts';

const lineNow = signal('');
const filters: readonly { readonly name: TellFilter; readonly words: string }[] = [
  { name: 'acts', words: 'by hand' },
  { name: 'all', words: 'all' },
  { name: 'none', words: 'none' },
];

/** The board's own console: it tells what it holds, and does what is typed, without a link. */
export function ConsolePane(): JSX.Element {
  return (
    <section class="panel-console" aria-labelledby="panel-console-label">
      <header class="panel-head">
        <h2 id="panel-console-label" class="panel-label">
          Console of the board
        </h2>
        <span class="panel-console-filter" role="radiogroup" aria-label="Changes that are shown">
          changes shown
          {filters.map(({ name, words }) => (
            <label key={name}>
              <input
                type="radio"
                name="panel-tell"
                checked={tellFilter.value === name}
                onChange={() => {
                  setTellFilter(name);
                }}
              />{' '}
              {words}
            </label>
          ))}
        </span>
      </header>
      <Log />
      <form
        class="panel-console-form"
        onSubmit={(event) => {
          event.preventDefault();
          const line = lineNow.value.trim();
          if (line === '') return;
          rememberTyped(line);
          lineNow.value = '';
          typeLine(line);
        }}
      >
        <label for="panel-console-line" class="mono" aria-label="Line to type on the console">
          ■&gt;
        </label>
        <input
          id="panel-console-line"
          class="mono"
          autocomplete="off"
          autocapitalize="off"
          spellcheck={false}
          placeholder="help"
          value={lineNow.value}
          onInput={({ currentTarget }) => {
            lineNow.value = currentTarget.value;
          }}
          onKeyDown={(event) => {
            if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
            const line = recallTyped(event.key === 'ArrowUp' ? -1 : 1);
            if (line !== undefined) lineNow.value = line;
            event.preventDefault();
          }}
        />
        <button type="submit">Type</button>
      </form>
    </section>
  );
}

function Log(): JSX.Element {
  return (
    <div
      class="panel-log mono"
      role="log"
      aria-live="off"
      aria-label="What the board printed"
      tabIndex={0}
      ref={followEnd}
    >
      {paneLines.value.length === 0 && (
        <p class="panel-nothing">
          What the board prints stands here. Type help to see what it understands, or set paddle 1.2 to turn the knob on
          the board itself.
        </p>
      )}
      {paneLines.value.map(({ id, set, text }) => (
        <p key={id} class={`panel-log-${set}`}>
          {set === 'typed' ? `> ${text}` : text}
        </p>
      ))}
    </div>
  );
}

/** Keeps the newest line in sight, unless one has scrolled away from it. */
let stopFollowing: (() => void) | undefined;
function followEnd(element: HTMLElement | null): void {
  stopFollowing?.();
  stopFollowing = undefined;
  if (element === null) return;
  stopFollowing = effect(() => {
    const lines = paneLines.value;
    const atEnd = element.scrollHeight - element.scrollTop - element.clientHeight < 40;
    const own = lines.at(-1)?.set === 'typed';
    if (atEnd || own) {
      requestAnimationFrame(() => {
        element.scrollTop = element.scrollHeight;
      });
    }
  });
}
