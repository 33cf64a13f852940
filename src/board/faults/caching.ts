import { reversed } from '../../base/bytes.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Table } from '../../table/model.ts';
import type { Fault } from '../model.ts';
import { handleIn, mapConstants, patchConnections, requestOf, rowAt, stateBefore, withOctet } from './plant.ts';

// Faults in what lets a client keep what it knows of the table.

const serviceChanged = '2A05';
const databaseHash = '2B2A';

/** The table without the characteristic of that UUID: declaration, value and descriptors. */
function without(uuid: string): (table: Table) => Table {
  return (table) => {
    const gone = table.services.flatMap(({ characteristics }) => characteristics).filter((each) => each.uuid === uuid);
    const handles = new Set(
      gone.flatMap(({ declaration, value, descriptors }) => [declaration, value, ...descriptors.map((d) => d.handle)]),
    );
    return {
      ...table,
      rows: table.rows.filter(({ handle }) => !handles.has(handle)),
      services: table.services.map((service) => ({
        ...service,
        characteristics: service.characteristics.filter((each) => each.uuid !== uuid),
      })),
    };
  };
}

export const cachingFaults: readonly Fault[] = [
  {
    name: 'hash-stale',
    about: 'The Database Hash is that of an older table.',
    symptom: 'A phone that was here last week uses handles that have moved.',
    table: (table) => mapConstants(table, databaseHash, (bytes) => withOctet(bytes, 5, (octet) => octet ^ 0x10)),
  },
  {
    name: 'hash-order-reversed',
    about: 'The Database Hash is sent with the most significant octet first.',
    symptom: 'A client that computes the hash never trusts its cache.',
    table: (table) => mapConstants(table, databaseHash, reversed),
  },
  {
    name: 'service-changed-missing',
    about: 'There is no Service Changed characteristic.',
    symptom: 'Phones show the services of last week.',
    table: without(serviceChanged),
  },
  {
    name: 'client-features-missing',
    about: 'There is no Client Supported Features characteristic.',
    symptom: 'No client can ask for robust caching.',
    table: without('2B29'),
  },
  {
    name: 'client-feature-cleared',
    about: 'A client can take back a feature that it has switched on.',
    symptom: 'Two programs on one phone undo each other.',
    wrap: stateBefore((state, event, table) => {
      const pdu = requestOf(event);
      const written = pdu?.[0] === opcode.writeRequest ? rowAt(table, handleIn(pdu)) : undefined;
      return written?.content.kind === 'client-supported-features'
        ? patchConnections(state, (each, id) =>
            event.kind === 'received' && id === event.connection ? { ...each, clientFeatures: Uint8Array.of(0) } : each,
          )
        : state;
    }),
  },
];
