import type { JSX } from 'preact';
import { examples } from '../files/examples.ts';
import { madeOf, restartBoard } from '../stores/board.ts';
import { saveFile, saveFileAs } from '../stores/document.ts';
import { setTheme, theme, type Theme } from '../stores/theme.ts';
import { share } from '../stores/view.ts';
import type { BoardWord } from '../worker/protocol.ts';
import { Act, closing, PresentAct } from './act.tsx';
import { opening } from './opening.ts';
import { adoptStyles } from '../styles/adopt.ts';
import moreActsStyles from './more-acts.css?inline';

adoptStyles(moreActsStyles);

const nextTheme: Readonly<Record<Theme, Theme>> = { system: 'light', light: 'dark', dark: 'system' };
const themeWords: Readonly<Record<Theme, string>> = {
  system: 'Theme: as the system',
  light: 'Theme: day',
  dark: 'Theme: night',
};

const boards: readonly { readonly made: BoardWord; readonly name: string; readonly about: string }[] = [
  {
    made: 'model',
    name: 'Virtual board',
    about: 'The contract’s model, reached in memory; pairing can be played.',
  },
  {
    made: 'radio',
    name: 'Virtual board, by radio',
    about: 'The same behind a controller: packets wait for their connection events.',
  },
  {
    made: 'engine',
    name: 'Firmware, by radio',
    about: 'The C code that runs on a chip, compiled for the browser, behind the same radio.',
  },
];

/** Everything that can be done with the contract's file and the page, and examples to begin with. */
export function MoreActs(): JSX.Element {
  return (
    <>
      <div class="shell-acts">
        <Act name="Open" act={() => opening((acts) => acts.openFile())} />
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
      <h2>What the board is</h2>
      <ul>
        {boards.map(({ made, name, about }) => (
          <li key={made}>
            <button
              type="button"
              aria-pressed={madeOf.value === made}
              onClick={() =>
                void closing(() => {
                  restartBoard({ made });
                  return Promise.resolve();
                })
              }
            >
              <strong>{name}</strong>
              <span>{about}</span>
            </button>
          </li>
        ))}
      </ul>
      <h2>Begin with an example</h2>
      <ul>
        {examples.map((example) => (
          <li key={example.name}>
            <button type="button" onClick={() => void closing(() => opening((acts) => acts.openExample(example)))}>
              <strong>{example.name}</strong>
              <span>{example.about}</span>
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}
