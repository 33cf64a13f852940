import type { JSX } from 'preact';
import { examples } from '../files/examples.ts';
import { openExample, openFile, saveFile, saveFileAs } from '../stores/document.ts';
import { setTheme, theme, type Theme } from '../stores/theme.ts';
import { share } from '../stores/view.ts';
import { Act, closing, PresentAct } from './act.tsx';

const nextTheme: Readonly<Record<Theme, Theme>> = { system: 'light', light: 'dark', dark: 'system' };
const themeWords: Readonly<Record<Theme, string>> = {
  system: 'Theme: as the system',
  light: 'Theme: day',
  dark: 'Theme: night',
};

/** Everything that can be done with the contract's file and the page, and examples to begin with. */
export function MoreActs(): JSX.Element {
  return (
    <>
      <div class="shell-acts">
        <Act name="Open" act={openFile} />
        <Act name="Save" act={saveFile} />
        <Act name="Save as" act={saveFileAs} />
        <Act
          name="On a phone"
          act={() => {
            share(true);
            return Promise.resolve();
          }}
        />
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
        {examples.map((example) => (
          <li key={example.name}>
            <button type="button" onClick={() => void closing(() => openExample(example))}>
              <strong>{example.name}</strong>
              <span>{example.about}</span>
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}
