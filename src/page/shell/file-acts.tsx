import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { later } from './later.tsx';
import { fileName, isUnsaved, keeping, saveFile } from '../stores/document.ts';
import { Act, PresentAct } from './act.tsx';
import { opening } from './opening.ts';

/** Fetched when it is first opened. */
const MoreActs = later(async () => (await import('./more-acts.tsx')).MoreActs, 'shell-more-room');
const opened = signal(false);

/** The contract's file, its state, what can be done with it, and how large and light the page is. */
export function FileActs(): JSX.Element {
  return (
    <div class="shell-files">
      <p class="shell-file">
        <span class="shell-file-name">{fileName.value}</span>
        <span class="shell-file-state">{savedWords()}</span>
      </p>
      <Act name="Open" act={() => opening((acts) => acts.openFile())} wide />
      <Act name="Save" act={saveFile} wide keys="Control+S" />
      <PresentAct wide />
      <button type="button" popovertarget="shell-more" aria-haspopup="true">
        More
      </button>
      <div
        id="shell-more"
        class="shell-more"
        popover="auto"
        onToggle={() => {
          opened.value = true;
        }}
      >
        {opened.value && <MoreActs />}
      </div>
    </div>
  );
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
