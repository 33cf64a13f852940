/** What a fragment begins with that carries a contract. */
export const marker = 'open=';

/** True for a fragment that carries a contract, whole or not. */
export function isCarried(fragment: string): boolean {
  return fragment.startsWith(marker);
}
