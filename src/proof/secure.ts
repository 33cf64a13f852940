import { openLink, type LinkSecurity, type Reach } from '../att/link.ts';
import type { Need } from '../contract/model.ts';
import type { ValueDefinition } from '../table/model.ts';

/** The needs from the weakest to the strongest. */
export const needs: readonly Need[] = ['open', 'encrypted', 'authenticated', 'secure-connections'];

/** A link that is just good enough for `need`. */
export function securityFor(need: Need): LinkSecurity {
  switch (need) {
    case 'open':
      return openLink;
    case 'encrypted':
      return { ...openLink, encrypted: true };
    case 'authenticated':
      return { ...openLink, encrypted: true, authenticated: true };
    case 'secure-connections':
      return { ...openLink, encrypted: true, authenticated: true, secureConnections: true };
  }
}

export function strongest(...list: readonly Need[]): Need {
  return list.reduce((best, need) => (needs.indexOf(need) > needs.indexOf(best) ? need : best), 'open');
}

/** What a link needs so that every access to the value is granted. */
export function needOf(value: ValueDefinition): Need {
  return strongest(value.needs.read, value.needs.write, value.needs.subscribe);
}

/** What the link must reach for cases about this value. */
export function reachesFor(value: ValueDefinition): readonly Reach[] {
  return needOf(value) === 'open' ? [] : ['security'];
}
