import { describe, expect, it } from 'vitest';
import { boardTable, valueOf } from '../../test/support/board-table.ts';
import { freshLink } from '../../test/support/proof-bench.ts';
import { remotesOfDiscovery, remotesOfTable } from './remote.ts';

const table = boardTable();

describe('the aims of operations', () => {
  it('come from the table as discovery finds them', async () => {
    const connected = await freshLink(table).connect();
    if (!connected.ok) throw new Error('no connection');
    const discovered = await connected.value.discover();
    if (!discovered.ok) throw new Error('no discovery');
    const fromTable = remotesOfTable(table);
    const fromDiscovery = remotesOfDiscovery(table, discovered.value);
    for (const value of table.values) {
      const { handle, uuid, properties, declaration, service, descriptors } = fromDiscovery(value)!;
      expect({ handle, uuid, properties, declaration, service }).toEqual({
        handle: value.handle,
        uuid: value.uuid,
        properties: fromTable(value)!.properties,
        declaration: fromTable(value)!.declaration,
        service: fromTable(value)!.service,
      });
      expect(descriptors).toEqual(fromTable(value)!.descriptors);
    }
  });

  it('are nothing where nothing was discovered', () => {
    expect(remotesOfDiscovery(table, [])(valueOf(table, 'count'))).toBeUndefined();
  });
});
