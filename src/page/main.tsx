import { effect } from '@preact/signals';
import { render } from 'preact';
import './styles/fonts.css';
import './styles/tokens.css';
import './styles/base.css';
import './shell/shell.css';
import './shell/link-line.css';
import { App } from './app.tsx';
import { keepForOffline } from './offline/register.ts';
import { isCarried } from './share/is-carried.ts';
import { takeDrops } from './shell/drop-target.ts';
import { listenToKeys } from './shell/keys.ts';
import { opening } from './shell/opening.ts';
import { restartBoard } from './stores/board.ts';
import { beginDocument, fileName, isUnsaved } from './stores/document.ts';
import { onNews, provideWorker, type WorkerPort } from './stores/port.ts';
import { followTheme } from './stores/theme.ts';
import { presenting, showView, view, viewNamed } from './stores/view.ts';
import { say } from './stores/words.ts';
import type { FromWorker } from './worker/protocol.ts';

function makeWorker(): WorkerPort {
  // Beside the page, by the name the build gives it.
  const worker = new Worker('./worker.js', { type: 'module' });
  worker.addEventListener('error', (event) => {
    say('caution', 'A part of the page stopped. Save your work and load the page again.', event.message);
  });
  return {
    post: (message) => {
      worker.postMessage(message);
    },
    onMessage: (listener) => {
      worker.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => {
        listener(data);
      });
    },
  };
}

provideWorker('bench', makeWorker);
provideWorker('prover', makeWorker);
provideWorker('reckoner', makeWorker);
onNews('broken', ({ message }) => {
  say(
    'caution',
    'Gattwright made a mistake of its own; what you did may not have happened. The line below says what to report.',
    message,
  );
});

const root = document.documentElement;
followTheme(root);
effect(() => {
  root.dataset['size'] = presenting.value ? 'presentation' : 'desk';
});

// The address says which view is shown, so that it can be linked to and the browser's back works.
const showNamed = (): void => {
  showView(viewNamed(location.hash.slice(1)) ?? 'panel');
};
/** An address may bring a contract along; it is then the view's again. */
const takeCarried = async (fragment: string): Promise<void> => {
  if (!isCarried(fragment)) return;
  history.replaceState(null, '', `#${view.value}`);
  await opening((acts) => acts.openCarried(fragment));
};
const arrivedWith = location.hash.slice(1);
showNamed();
addEventListener('hashchange', () => {
  const fragment = location.hash.slice(1);
  showNamed();
  void takeCarried(fragment);
});
effect(() => {
  const hash = `#${view.value}`;
  if (location.hash !== hash && !(location.hash === '' && view.value === 'panel')) history.pushState(null, '', hash);
});
effect(() => {
  document.title = `${isUnsaved.value ? '• ' : ''}${fileName.value} – Gattwright`;
});

listenToKeys();
takeDrops(root);
const place = document.getElementById('page');
if (place !== null) render(<App />, place);
void beginDocument().then(async () => {
  await takeCarried(arrivedWith);
  restartBoard({ connect: true });
});
void keepForOffline();
