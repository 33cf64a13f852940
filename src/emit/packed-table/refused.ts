import type { Table } from '../../table/model.ts';

/** Why a table cannot be packed, and what to change in its contract. */
export type Unpackable = { readonly why: string; readonly remedy: string };

/** What the format can count. docs/packed-table.md */
export const limits = { octets: 65_535, rows: 4096, bases: 255, failsafes: 254 } as const;

/** Refuses what is too much before anything is packed. */
export function tooMuch(table: Table): Unpackable | undefined {
  if (table.rows.length > limits.rows) {
    return {
      why: `the table has ${table.rows.length} attributes, a packed one at most ${limits.rows}`,
      remedy: 'leave out characteristics, or gather several values in a struct',
    };
  }
  const failsafes = table.values.filter(({ onLinkLoss }) => onLinkLoss.kind === 'set').length;
  if (failsafes > limits.failsafes) {
    return {
      why: `${failsafes} values have \`on-link-loss\`, a packed table at most ${limits.failsafes}`,
      remedy: 'gather several actuators in a struct',
    };
  }
  return undefined;
}
