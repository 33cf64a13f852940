import type { JSX } from 'preact';

export function ProofView(): JSX.Element {
  return <p class="shell-empty">Proof</p>;
}
