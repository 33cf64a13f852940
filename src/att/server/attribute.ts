import { noBytes, u16le, type Bytes } from '../../base/bytes.ts';
import type { Row, Table } from '../../table/model.ts';
import { longestValue } from '../pdu/model.ts';
import type { ConnectionId, ServerConnection, ServerEffect, ServerState } from '../server-model.ts';
import { longestFeatures } from './features.ts';

/** The whole value of an attribute as this client sees it. */
export function attributeValue(table: Table, state: ServerState, connection: ServerConnection, row: Row): Bytes {
  const { content } = row;
  switch (content.kind) {
    case 'constant':
      return content.bytes;
    case 'value':
      return state.values[content.index] ?? table.values[content.index]?.start ?? noBytes;
    case 'description':
      return state.descriptions.get(row.handle) ?? content.bytes;
    case 'cccd':
      return u16le(connection.cccds.get(row.handle) ?? 0);
    case 'client-supported-features':
      return connection.clientFeatures;
    case 'service-changed':
      return noBytes;
  }
}

/** Octets that the attribute may have, both inclusive. */
export function lengthLimits(table: Table, row: Row): { readonly min: number; readonly max: number } {
  const { content } = row;
  switch (content.kind) {
    case 'constant':
      return { min: content.bytes.length, max: content.bytes.length };
    case 'value': {
      const definition = table.values[content.index];
      return { min: definition?.minLength ?? 0, max: definition?.maxLength ?? 0 };
    }
    case 'description':
      return { min: 0, max: longestValue };
    case 'cccd':
      return { min: 2, max: 2 };
    case 'client-supported-features':
      return { min: 1, max: longestFeatures };
    case 'service-changed':
      return { min: 4, max: 4 };
  }
}

/** What the board is told when a client has read these attributes. */
export function readEffects(connection: ConnectionId, rows: readonly Row[]): readonly ServerEffect[] {
  return rows.flatMap(({ content }): readonly ServerEffect[] =>
    content.kind === 'value' ? [{ kind: 'read', connection, index: content.index }] : [],
  );
}
