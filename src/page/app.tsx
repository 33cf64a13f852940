import type { JSX } from 'preact';
import { share, sharing } from './stores/view.ts';
import { Head } from './shell/head.tsx';
import { later } from './shell/later.tsx';
import { PacketsPlace } from './shell/packets-place.tsx';
import { QuestionDialog } from './shell/question-dialog.tsx';
import { ViewPlace } from './shell/view-place.tsx';
import { WordsList } from './shell/words-list.tsx';

/** Fetched when it is first asked for. */
const ShareDialog = later(async () => (await import('./share/share-dialog.tsx')).ShareDialog, 'share-room');

export function App(): JSX.Element {
  return (
    <>
      <Head />
      <PacketsPlace />
      <main class="shell-main">
        <ViewPlace />
      </main>
      <WordsList />
      {sharing.value && (
        <ShareDialog
          onClose={() => {
            share(false);
          }}
        />
      )}
      <QuestionDialog />
    </>
  );
}
