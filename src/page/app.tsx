import type { JSX } from 'preact';
import { Head } from './shell/head.tsx';
import { PacketsPlace } from './shell/packets-place.tsx';
import { QuestionDialog } from './shell/question-dialog.tsx';
import { ViewPlace } from './shell/view-place.tsx';
import { WordsList } from './shell/words-list.tsx';

export function App(): JSX.Element {
  return (
    <>
      <Head />
      <PacketsPlace />
      <main class="shell-main">
        <ViewPlace />
      </main>
      <WordsList />
      <QuestionDialog />
    </>
  );
}
