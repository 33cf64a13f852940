import type { JSX } from 'preact';
import { examples } from '../files/examples.ts';
import { fileName, isUnsaved, keeping, openExample, openFile, saveFile, saveFileAs } from '../stores/document.ts';
import { setTheme, theme, type Theme } from '../stores/theme.ts';
import { present, presenting } from '../stores/view.ts';

const nextTheme: Readonly<Record<Theme, Theme>> = { system: 'light', light: 'dark', dark: 'system' };
const themeWords: Readonly<Record<Theme, string>> = { system: 'Light as the system', light: 'Day', dark: 'Night' };

/** The contract's file, its state, what can be done with it, and how large and light the page is. */
export function FileActs(): JSX.Element {
  return (
    <div class="shell-files">
      <p class="shell-file">
        <span class="shell-file-name">{fileName.value}</span>
        <span class="shell-file-state">{savedWords()}</span>
      </p>
      <Act name="Open" act={openFile} wide />
      <Act name="Save" act={saveFile} wide keys="Control+S" />
      <PresentAct wide />
      <button type="button" popovertarget="shell-more" aria-haspopup="true">
        More
      </button>
      <div id="shell-more" class="shell-more" popover="auto">
        <div class="shell-acts">
          <Act name="Open" act={openFile} />
          <Act name="Save" act={saveFile} />
          <Act name="Save as" act={saveFileAs} />
          <PresentAct />
          <button
            type="button"
            onClick={() => {
              setTheme(nextTheme[theme.value]);
            }}
          >
            {themeWords[theme.value]}
          </button>
        </div>
        <h2>Begin with an example</h2>
        <ul>
          {examples.map(({ name, about }) => (
            <li key={name}>
              <button type="button" onClick={() => void closing(() => openExample(name))}>
                <strong>{name}</strong>
                <span>{about}</span>
              </button>
            </li>
          ))}
        </ul>
      </div>
    </div>
  );
}

type ActProps = {
  readonly name: string;
  readonly act: () => Promise<void>;
  /** Stands in the head where there is room for it. */
  readonly wide?: boolean;
  readonly keys?: string;
};

function Act({ name, act, wide = false, keys }: ActProps): JSX.Element {
  return (
    <button
      type="button"
      class={wide ? 'shell-wide' : undefined}
      aria-keyshortcuts={keys}
      onClick={() => void closing(act)}
    >
      {name}
    </button>
  );
}

function PresentAct({ wide = false }: { readonly wide?: boolean }): JSX.Element {
  return (
    <button
      type="button"
      class={wide ? 'shell-wide' : undefined}
      aria-pressed={presenting.value}
      aria-keyshortcuts="Alt+P"
      title="Large, for a projector (Alt+P)"
      onClick={() => {
        present(!presenting.value);
      }}
    >
      Present
    </button>
  );
}

async function closing(act: () => Promise<void>): Promise<void> {
  document.getElementById('shell-more')?.hidePopover();
  await act();
}

/** Where the changes are: nobody shall believe them safe who has them nowhere. */
function savedWords(): string {
  if (!isUnsaved.value) return 'saved';
  switch (keeping.value) {
    case 'kept':
    case 'waiting':
      return 'unsaved changes, kept in this browser';
    case 'elsewhere':
      return '▲ unsaved changes, not kept: another window is open';
    case 'refused':
      return '▲ unsaved changes, not kept by this browser';
  }
}
