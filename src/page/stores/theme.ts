import { effect, signal, type ReadonlySignal } from '@preact/signals';

/** `system`: as the system says. */
export type Theme = 'system' | 'light' | 'dark';

const key = 'gattwright-theme';
const themeNow = signal<Theme>(keptTheme());

export const theme: ReadonlySignal<Theme> = themeNow;

export function setTheme(next: Theme): void {
  themeNow.value = next;
  try {
    localStorage.setItem(key, next);
  } catch {
    // No storage: the choice holds until the window is closed.
  }
}

/** Puts the theme on the document, now and when it changes; on paper it is day. */
export function followTheme(root: HTMLElement): void {
  addEventListener('beforeprint', () => {
    root.dataset['printing'] = '';
  });
  addEventListener('afterprint', () => {
    delete root.dataset['printing'];
  });
  effect(() => {
    if (themeNow.value === 'system') delete root.dataset['theme'];
    else root.dataset['theme'] = themeNow.value;
  });
}

function keptTheme(): Theme {
  try {
    const kept = localStorage.getItem(key);
    return kept === 'light' || kept === 'dark' ? kept : 'system';
  } catch {
    return 'system';
  }
}
