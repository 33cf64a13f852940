import { saveFile } from '../stores/document.ts';
import { present, presenting, showView, viewNames } from '../stores/view.ts';

/** The page's keys. Each needs a modifier, so that none fires while somebody types. */
export function listenToKeys(): void {
  addEventListener('keydown', (event) => {
    if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === 's') {
      event.preventDefault();
      void saveFile();
      return;
    }
    if (
      event.key === 'Escape' &&
      presenting.peek() &&
      !event.defaultPrevented &&
      document.querySelector('dialog[open], [popover]:popover-open') === null
    ) {
      present(false);
      return;
    }
    if (!event.altKey || event.ctrlKey || event.metaKey) return;
    // By the key's place: with Alt held some layouts give another character.
    const name = viewNames[Number(event.code.replace('Digit', '')) - 1];
    if (name !== undefined) {
      event.preventDefault();
      showView(name);
    } else if (event.code === 'KeyP') {
      event.preventDefault();
      present(!presenting.peek());
    }
  });
}
