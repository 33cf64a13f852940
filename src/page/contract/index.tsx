import type { JSX } from 'preact';

export function ContractView(): JSX.Element {
  return <p class="shell-empty">Contract</p>;
}
