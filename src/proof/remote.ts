import type { RemoteAttribute, RemoteCharacteristic, RemoteService } from '../att/link.ts';
import type { Uuid } from '../base/uuid.ts';
import type { Handle, Table, ValueDefinition } from '../table/model.ts';

/** Finds what the operations of a connection are aimed at. */
export type Remotes = (value: ValueDefinition) => RemoteCharacteristic | undefined;

/** Straight from the table: for links that show handles, where no discovery stands between the case and the board. */
export function remotesOfTable(table: Table): Remotes {
  const all = new Map<number, RemoteCharacteristic>();
  for (const service of table.services) {
    for (const entry of service.characteristics) {
      if (entry.index === undefined) continue;
      all.set(entry.index, {
        kind: 'characteristic',
        uuid: entry.uuid,
        handle: entry.value,
        service: service.uuid,
        properties: entry.properties,
        declaration: entry.declaration,
        descriptors: entry.descriptors.map(({ handle, type }) => ({ kind: 'descriptor', uuid: type, handle })),
      });
    }
  }
  return (value) => all.get(value.index);
}

/**
 * From what was discovered, where handles are hidden: the characteristic with the value's UUID in a service with its
 * service's UUID; among several alike, the one at the same place.
 */
export function remotesOfDiscovery(table: Table, discovered: readonly RemoteService[]): Remotes {
  return (value) => {
    const home = table.services.find((service) => service.id === value.service);
    if (home === undefined) return undefined;
    const twins = table.services.filter((service) => service.uuid === home.uuid);
    const found = discovered.filter((service) => service.uuid === home.uuid)[twins.indexOf(home)];
    const alike = home.characteristics.filter((entry) => entry.uuid === value.uuid);
    const place = alike.findIndex((entry) => entry.index === value.index);
    return found?.characteristics.filter((characteristic) => characteristic.uuid === value.uuid)[place];
  };
}

export function attributeAt(handle: Handle, uuid: Uuid): RemoteAttribute {
  return { kind: 'descriptor', uuid, handle };
}
