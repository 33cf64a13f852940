import { signal } from '@preact/signals';
import type { ComponentType, JSX } from 'preact';

/**
 * A component whose code is fetched when it is first drawn: the page is there sooner. Until then its room is kept.
 *
 * @param room class of the element that keeps it
 */
export function later<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
  room: string,
): (props: Props) => JSX.Element {
  const loaded = signal<ComponentType<Props> | undefined>(undefined);
  let under = false;
  return function Later(props: Props): JSX.Element {
    const Part = loaded.value;
    if (Part !== undefined) return <Part {...props} />;
    if (!under) {
      under = true;
      void load().then(
        (part) => {
          loaded.value = part;
        },
        () => {
          // Without the network it is tried again when it is next drawn.
          under = false;
        },
      );
    }
    return <div class={room} />;
  };
}
