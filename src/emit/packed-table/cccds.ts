import { clientConfiguration } from '../../numbers/properties.ts';
import type { Handle, Row, Table } from '../../table/model.ts';
import { Octets } from './octets.ts';

/** Rows of the CCCDs in the order of their numbers: values first, then Service Changed, which has no policy. */
export function cccdRows(table: Table): readonly Row[] {
  const rows = table.rows.filter(({ content }) => content.kind === 'cccd');
  const values = new Set(table.values.map(({ cccd }) => cccd));
  return [...rows.filter(({ handle }) => values.has(handle)), ...rows.filter(({ handle }) => !values.has(handle))];
}

export function cccdNumbers(rows: readonly Row[]): ReadonlyMap<Handle, number> {
  return new Map(rows.map(({ handle }, number) => [handle, number]));
}

const policy = { none: 0, change: 1, every: 2 } as const;

/** No value: Service Changed. */
const noValue = 0xffff;

export function packCccds(rows: readonly Row[], table: Table): Octets {
  const values = new Map(table.values.map((value) => [value.handle, value]));
  const octets = new Octets();
  for (const { content } of rows) {
    if (content.kind !== 'cccd') continue;
    const value = values.get(content.of);
    const on = value?.notify?.on;
    octets.u16(value?.index ?? noValue).u8(content.allowed, policy[on?.kind ?? 'none']);
    octets.u40(value?.notify?.minSpacing ?? 0).u40(on?.kind === 'every' ? on.period : 0);
  }
  return octets;
}

/** CCCDs whose value may wait in the queue of indications. */
export function indicatable(rows: readonly Row[]): number {
  return rows.filter(({ content }) => content.kind === 'cccd' && (content.allowed & clientConfiguration.indicate) !== 0)
    .length;
}
