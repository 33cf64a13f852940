import type { Uuid } from '../../base/uuid.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Handle, Row, Table } from '../../table/model.ts';

/** What the server looks up in a table, found once for each table. */
export type TableIndex = {
  readonly byHandle: ReadonlyMap<Handle, Row>;
  /** Ascending handles. */
  readonly byType: ReadonlyMap<Uuid, readonly Row[]>;
  /** Last handle of the group that a declaration opens; absent for what opens none. Core Vol 3 Part G 2.5.3. */
  readonly groupEnds: ReadonlyMap<Handle, Handle>;
  /** Value index by handle of the value. */
  readonly valueIndices: ReadonlyMap<Handle, number>;
  /** CCCD row by handle of the value it configures. */
  readonly cccds: ReadonlyMap<Handle, Row>;
  readonly serviceChanged: Row | undefined;
};

const indexes = new WeakMap<Table, TableIndex>();

export function indexOf(table: Table): TableIndex {
  const known = indexes.get(table);
  if (known !== undefined) return known;
  const made = makeIndex(table);
  indexes.set(table, made);
  return made;
}

/** Rows with `start` <= handle <= `end`, found by bisection. */
export function* rowsWithin(rows: readonly Row[], start: Handle, end: Handle): Generator<Row, void> {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rows[middle]?.handle ?? 0) < start) low = middle + 1;
    else high = middle;
  }
  for (let i = low; i < rows.length; i++) {
    const row = rows[i];
    if (row === undefined || row.handle > end) return;
    yield row;
  }
}

function makeIndex(table: Table): TableIndex {
  const byType = new Map<Uuid, Row[]>();
  const cccds = new Map<Handle, Row>();
  for (const row of table.rows) {
    const alike = byType.get(row.type);
    if (alike === undefined) byType.set(row.type, [row]);
    else alike.push(row);
    if (row.content.kind === 'cccd') cccds.set(row.content.of, row);
  }
  return {
    byHandle: new Map(table.rows.map((row) => [row.handle, row])),
    byType,
    groupEnds: groupEnds(table.rows),
    valueIndices: new Map(table.values.map((value) => [value.handle, value.index])),
    cccds,
    serviceChanged: table.rows.find((row) => row.content.kind === 'service-changed'),
  };
}

/** A service ends before the next service, a characteristic before the next characteristic or service. */
function groupEnds(rows: readonly Row[]): ReadonlyMap<Handle, Handle> {
  const ends = new Map<Handle, Handle>();
  let service: Handle | undefined;
  let characteristic: Handle | undefined;
  for (const { handle, type } of rows) {
    if (type === attributeType.primaryService || type === attributeType.secondaryService) {
      service = handle;
      characteristic = undefined;
    } else if (type === attributeType.characteristic) {
      characteristic = handle;
    }
    if (service !== undefined) ends.set(service, handle);
    if (characteristic !== undefined) ends.set(characteristic, handle);
  }
  return ends;
}
