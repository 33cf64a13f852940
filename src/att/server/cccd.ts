import { readU16le, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import { clientConfiguration } from '../../numbers/properties.ts';
import type { Handle } from '../../table/model.ts';
import type { ConnectionId, ServerConnection, ServerEffect, ServerState } from '../server-model.ts';
import { patchConnection } from './context.ts';
import type { TableIndex } from './table-index.ts';

/** Error code for octets that cannot become the configuration. @param allowed the bits that the characteristic has */
export function cccdRefusal(allowed: number, written: Bytes): number | undefined {
  const bits = written.length === 2 ? readU16le(written, 0) : undefined;
  if (bits === undefined) return attError.invalidAttributeValueLength;
  return (bits & ~allowed) === 0 ? undefined : attError.cccdImproperlyConfigured;
}

/** Takes a configuration that was not refused. An indication that still waits its turn is not sent any more when unsubscribed. */
export function configure(
  index: TableIndex,
  state: ServerState,
  id: ConnectionId,
  cccd: { readonly handle: Handle; readonly of: Handle },
  bits: number,
): { readonly state: ServerState; readonly effects: readonly ServerEffect[] } {
  const connection = state.connections.get(id);
  if (connection === undefined) return { state, effects: [] };
  const cccds = new Map(connection.cccds);
  if (bits === 0) cccds.delete(cccd.handle);
  else cccds.set(cccd.handle, bits);
  const valueIndex = index.valueIndices.get(cccd.of);
  const indicationQueue =
    (bits & clientConfiguration.indicate) !== 0
      ? connection.indicationQueue
      : connection.indicationQueue.filter((waiting) =>
          waiting.kind === 'value' ? waiting.index !== valueIndex : cccd.of !== index.serviceChanged?.handle,
        );
  return {
    state: patchConnection(state, id, { cccds, indicationQueue }),
    effects: subscriptionEffects(id, valueIndex, bits),
  };
}

export function subscriptionEffects(
  connection: ConnectionId,
  index: number | undefined,
  bits: number,
): readonly ServerEffect[] {
  if (index === undefined) return [];
  return [
    {
      kind: 'subscription',
      connection,
      index,
      notify: (bits & clientConfiguration.notify) !== 0,
      indicate: (bits & clientConfiguration.indicate) !== 0,
    },
  ];
}

/** The configuration bits of the characteristic whose value is at `of`; 0 when there is no CCCD. */
export function configurationOf(index: TableIndex, connection: ServerConnection, of: Handle): number {
  const row = index.cccds.get(of);
  return row === undefined ? 0 : (connection.cccds.get(row.handle) ?? 0);
}
