import type { RemoteCharacteristic } from '../../att/link.ts';
import type { Table } from '../../table/model.ts';

/** A value's characteristic as a client that knows the contract sees it, without discovery. */
export function remoteCharacteristic(table: Table, index: number): RemoteCharacteristic | undefined {
  for (const { uuid: service, characteristics } of table.services) {
    const entry = characteristics.find((candidate) => candidate.index === index);
    if (entry === undefined) continue;
    return {
      kind: 'characteristic',
      uuid: entry.uuid,
      handle: entry.value,
      service,
      properties: entry.properties,
      declaration: entry.declaration,
      descriptors: entry.descriptors.map(({ handle, type }) => ({ kind: 'descriptor', uuid: type, handle })),
    };
  }
  return undefined;
}
