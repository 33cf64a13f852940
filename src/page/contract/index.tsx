import type { JSX } from 'preact';
import { checked } from '../stores/contract.ts';
import { currentValue, followCursor } from './current-value.ts';
import { EditorPane, followJumps } from './editor/editor-pane.tsx';
import { FindingsList } from './findings-list.tsx';
import { followHeadHeight } from './head-height.ts';
import { followContract, printed } from './printed.ts';
import { InterfaceSheet } from './sheet/interface-sheet.tsx';
import contractStyles from './contract.css?inline';
import sheetStyles from './sheet/sheet.css?inline';
import { adoptStyles } from '../styles/adopt.ts';

adoptStyles(contractStyles);
adoptStyles(sheetStyles);

/** The contract's text with what was found in it, and beside it the interface that it means, as a printed sheet. */
export function ContractView(): JSX.Element {
  return (
    <div class="contract" ref={begin}>
      <h2 class="unseen">Contract</h2>
      <section class="contract-text" aria-label="Text of the contract">
        <div class="contract-editor">
          <EditorPane />
        </div>
        <p id="contract-keys" class="contract-keys">
          <kbd>Ctrl Space</kbd> what may stand here <kbd>F8</kbd> next finding <kbd>Ctrl F</kbd> find{' '}
          <kbd>Esc, Tab</kbd> leave the editor
        </p>
        <FindingsList />
      </section>
      <section class="contract-sheet" aria-label="Interface">
        <Sheet />
      </section>
    </div>
  );
}

let stop: (() => void) | undefined;

/** What the view follows while it is shown. */
function begin(view: HTMLElement | null): void {
  stop?.();
  stop = undefined;
  if (view === null) return;
  const stops = [followHeadHeight(view), followContract(), followJumps(), followCursor()];
  stop = () => {
    for (const each of stops) each();
  };
}

function Sheet(): JSX.Element {
  const compiled = printed.value;
  if (compiled === undefined) {
    return (
      <p class="contract-told">
        {checked.value === undefined
          ? 'The interface will be printed here.'
          : '▲ The contract has errors. When they are gone, its interface is printed here.'}
      </p>
    );
  }
  const isOld = checked.value?.compiled === undefined;
  return (
    <>
      {isOld ? (
        <p class="contract-old" role="status">
          ▲ The contract has errors; this is the sheet of the last text without any.
        </p>
      ) : null}
      <InterfaceSheet compiled={compiled} current={currentValue.value} />
    </>
  );
}
