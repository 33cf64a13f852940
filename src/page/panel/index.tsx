import type { JSX } from 'preact';

export function PanelView(): JSX.Element {
  return <p class="shell-empty">Panel</p>;
}
