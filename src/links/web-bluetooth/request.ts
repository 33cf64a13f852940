import { longUuid, uuid16, uuidFromBytes, type Uuid } from '../../base/uuid.ts';
import type { Table } from '../../table/model.ts';
import type { W3cRequest } from './w3c.ts';

/**
 * Characteristics and descriptors that the interface keeps from pages: Serial Number String, since it would tell people
 * apart, and configurations that the browser writes itself. The browser leaves out what a page may not see.
 *
 * Source: the interface's GATT blocklist; 0x2A25 seen there, 0x2A02, 0x2A03, 0x2902 and 0x2903 from memory.
 */
export const hiddenFromPages: ReadonlySet<Uuid> = new Set([0x2a25, 0x2a02, 0x2a03, 0x2902, 0x2903].map(uuid16));

/**
 * What to ask the person's browser for: devices that advertise a service of the contract, or its name; and the right to
 * all its services, for a page sees no other.
 */
export function deviceRequest(table: Table): W3cRequest {
  const uuids = [...new Set(table.services.filter(({ secondary }) => !secondary).map(({ uuid }) => longUuid(uuid)))];
  const advertised = advertisedServices(table).filter((uuid) => uuids.includes(uuid));
  return {
    filters: [...advertised.map((uuid) => ({ services: [uuid] })), { name: table.board.name }],
    optionalServices: uuids,
  };
}

/** AD types of complete and incomplete lists of service UUIDs; Core Specification Supplement Part A 1.1. */
const listTypes: Readonly<Record<number, number>> = { 0x02: 2, 0x03: 2, 0x06: 16, 0x07: 16 };

function advertisedServices({ advertising, scanResponse, services }: Table): readonly string[] {
  const inAir = [advertising, scanResponse].flatMap(({ bytes, elements }) =>
    elements.flatMap(({ type, offset, length }) => {
      const size = listTypes[type];
      if (size === undefined) return [];
      const list = bytes.slice(offset + 2, offset + length);
      return Array.from({ length: Math.floor(list.length / size) }, (_, i) => list.slice(i * size, (i + 1) * size));
    }),
  );
  const known = new Set(services.map(({ uuid }) => uuid));
  const found = inAir
    .map(uuidFromBytes)
    .filter((uuid) => uuid !== undefined)
    .filter((uuid) => known.has(uuid));
  return [...new Set(found.map(longUuid))];
}
