import type * as OpenActs from '../stores/open-acts.ts';
import { say } from '../stores/words.ts';

/** Opens something; the code for it is fetched the first time. */
export async function opening(act: (acts: typeof OpenActs) => Promise<void>): Promise<void> {
  let acts: typeof OpenActs;
  try {
    acts = await import('../stores/open-acts.ts');
  } catch {
    say('refused', 'Nothing could be opened: a part of the page could not be fetched. Connect to the network once.');
    return;
  }
  await act(acts);
}
