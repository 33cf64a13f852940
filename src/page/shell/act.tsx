import type { JSX } from 'preact';
import { present, presenting } from '../stores/view.ts';

type ActProps = {
  readonly name: string;
  readonly act: () => Promise<void>;
  /** Stands in the head where there is room for it. */
  readonly wide?: boolean;
  readonly keys?: string;
};

/** A verb that works on the file; it closes what it stands in. */
export function Act({ name, act, wide = false, keys }: ActProps): JSX.Element {
  return (
    <button
      type="button"
      class={wide ? 'shell-wide' : undefined}
      aria-keyshortcuts={keys}
      onClick={() => void closing(act)}
    >
      {name}
    </button>
  );
}

export function PresentAct({ wide = false }: { readonly wide?: boolean }): JSX.Element {
  return (
    <button
      type="button"
      class={wide ? 'shell-wide' : undefined}
      aria-pressed={presenting.value}
      aria-keyshortcuts="Alt+P"
      title="Large, for a projector (Alt+P)"
      onClick={() => {
        present(!presenting.value);
      }}
    >
      Present
    </button>
  );
}

/** Closes the menu, then acts. */
export async function closing(act: () => Promise<void>): Promise<void> {
  document.getElementById('shell-more')?.hidePopover();
  await act();
}
