import type { JSX } from 'preact';
import { view, viewNames, type ViewName } from '../stores/view.ts';
import { FileActs } from './file-acts.tsx';
import { LinkLine } from './link-line.tsx';

const titles: Readonly<Record<ViewName, string>> = {
  contract: 'Contract',
  panel: 'Panel',
  ledger: 'Ledger',
  proof: 'Proof',
  budget: 'Budget',
};

/** The head of every view: name, views, file, and the link line, which stays when the rest scrolls away. */
export function Head(): JSX.Element {
  return (
    <header class="shell-head">
      <div class="shell-top">
        <h1 class="shell-mark">Gattwright</h1>
        <nav class="shell-views" aria-label="Views">
          {viewNames.map((name, i) => (
            <a
              key={name}
              href={`#${name}`}
              aria-current={view.value === name ? 'page' : undefined}
              aria-keyshortcuts={`Alt+${i + 1}`}
            >
              {titles[name]}
            </a>
          ))}
        </nav>
        <FileActs />
      </div>
      <LinkLine />
    </header>
  );
}
