import type { JSX } from 'preact';
import { board, startRefused } from '../stores/board.ts';
import { presenting, showView } from '../stores/view.ts';
import { ConsolePane } from './console-pane.tsx';
import { later } from '../shell/later.tsx';
import { RigWindow } from './rig-window.tsx';
import { Sheet } from './sheet.tsx';
import './panel.css';
import './instruments.css';

const Presentation = later(async () => (await import('./presentation.tsx')).Presentation, 'panel-presentation');

/** The front panel of the running board: one instrument for each characteristic. */
export function PanelView(): JSX.Element {
  const running = board.value;
  if (running === undefined) return <NoBoard />;
  if (presenting.value) return <Presentation />;
  return (
    <div class="panel">
      {running.rig === 'wave-tank' && <RigWindow />}
      <Sheet />
      <ConsolePane />
    </div>
  );
}

function NoBoard(): JSX.Element {
  if (startRefused.value === undefined) {
    return <p class="shell-empty">The board is starting. Its instruments will stand here.</p>;
  }
  return (
    <p class="shell-empty">
      No board runs: the contract has errors. Once it has none, its instruments stand here.{' '}
      <button
        type="button"
        onClick={() => {
          showView('contract');
        }}
      >
        See the contract
      </button>
    </p>
  );
}
