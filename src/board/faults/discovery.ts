import { concat, equalBytes, readU16le, reversed, u16le, type Bytes } from '../../base/bytes.ts';
import { isShortUuid, uuidBytes, uuidFromBytes } from '../../base/uuid.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { AdvertisingData, Table } from '../../table/model.ts';
import type { Fault } from '../model.ts';
import { handleIn, mapConstants, mapRows, requestOf, sent, withOctet } from './plant.ts';

// Faults in what a client finds: advertising data, services, characteristics, descriptors.

/** AD types of lists of 128-bit UUIDs and of names. Core Specification Supplement Part A 1.1, 1.2. */
const uuidLists: readonly number[] = [0x06, 0x07];
const names: readonly number[] = [0x08, 0x09];

/** Changes the data of some AD elements; their lengths stay. */
function advertised(types: readonly number[], change: (data: Bytes) => Bytes): (table: Table) => Table {
  const changed = (block: AdvertisingData): AdvertisingData => {
    const bytes = block.bytes.slice();
    for (const { type, offset, length } of block.elements) {
      if (types.includes(type)) bytes.set(change(bytes.slice(offset + 2, offset + length)), offset + 2);
    }
    return { ...block, bytes };
  };
  return (table) => ({
    ...table,
    advertising: changed(table.advertising),
    scanResponse: changed(table.scanResponse),
  });
}

/** The last 16 octets reversed, where a 128-bit UUID stands. */
function reverseLongUuid(bytes: Bytes, from: number): Bytes {
  return bytes.length - from === 16 ? concat(bytes.subarray(0, from), reversed(bytes.subarray(from))) : bytes;
}

function reverseUuids(table: Table): Table {
  const rows = mapRows(table, (row) => {
    const turned = isShortUuid(row.type) ? undefined : uuidFromBytes(reversed(uuidBytes(row.type)));
    return turned === undefined ? row : { ...row, type: turned };
  });
  const services = mapConstants(rows, '2800', (bytes) => reverseLongUuid(bytes, 0));
  return mapConstants(services, '2803', (bytes) => reverseLongUuid(bytes, 3));
}

/** A list response without some of its entries; Attribute Not Found when none is left. */
function withoutEntries(
  pdu: Bytes,
  request: Bytes,
  length: number,
  gone: (entry: Bytes, last: boolean) => boolean,
): Bytes {
  const kept: Bytes[] = [];
  for (let at = 2; at < pdu.length; at += length) {
    const entry = pdu.subarray(at, at + length);
    if (!gone(entry, at + length >= pdu.length)) kept.push(entry);
  }
  if (kept.length > 0) return concat(pdu.subarray(0, 2), ...kept);
  return concat([opcode.errorResponse, request[0] ?? 0], u16le(handleIn(request)), [attError.attributeNotFound]);
}

const cccdUuid = Uint8Array.of(0x02, 0x29);

export const discoveryFaults: readonly Fault[] = [
  {
    name: 'uuid-reversed',
    about: 'The 128-bit UUIDs stand in the table with their octets in the other order.',
    symptom: 'Clients find services and characteristics, but not the ones they look for.',
    table: reverseUuids,
  },
  {
    name: 'advertised-uuid-reversed',
    about: 'The 128-bit service UUID is advertised with its octets in the other order.',
    symptom: 'A client that scans for the service never sees the board.',
    table: advertised(uuidLists, reversed),
  },
  {
    name: 'advertised-name-wrong',
    about: 'The advertised name ends in another character than the contract says.',
    symptom: 'Two boards in the room have the same name.',
    table: advertised(names, (name) => withOctet(name, name.length - 1, (octet) => (octet === 0x58 ? 0x59 : 0x58))),
  },
  {
    name: 'service-end-wrong',
    about: 'Services end one handle too early.',
    symptom: 'The last descriptor of a service is never found.',
    wrap: sent((pdu) => {
      if (pdu[0] !== opcode.readByGroupTypeResponse) return [pdu];
      const length = pdu[1] ?? 0;
      const changed = pdu.slice();
      for (let at = 2; length >= 6 && at + length <= pdu.length; at += length) {
        const start = readU16le(pdu, at) ?? 0;
        const end = readU16le(pdu, at + 2) ?? 0;
        // The last service often ends at 0xFFFF, which is right by the standard.
        if (end > start && end !== 0xffff) changed.set(u16le(end - 1), at + 2);
      }
      return [changed];
    }),
  },
  {
    name: 'subscription-not-found',
    about: 'Find Information leaves the CCCDs out.',
    symptom: 'Clients show the value and cannot subscribe to it.',
    wrap: sent((pdu, { event }) => {
      const request = requestOf(event);
      // Format 1: pairs of a handle and a 16-bit UUID.
      if (pdu[0] !== opcode.findInformationResponse || pdu[1] !== 1 || request === undefined) return [pdu];
      return [withoutEntries(pdu, request, 4, (entry) => equalBytes(entry.subarray(2), cccdUuid))];
    }),
  },
  {
    name: 'last-characteristic-hidden',
    about: 'Each list of characteristics lacks its last one.',
    symptom: 'Half of the values are missing in the client.',
    wrap: sent((pdu, { event }) => {
      const request = requestOf(event);
      if (pdu[0] !== opcode.readByTypeResponse || request?.length !== 7 || readU16le(request, 5) !== 0x2803)
        return [pdu];
      return [withoutEntries(pdu, request, pdu[1] ?? 1, (_, last) => last)];
    }),
  },
  {
    name: 'service-not-found-by-uuid',
    about: 'Find By Type Value never finds anything.',
    symptom: 'A client that asks for one service is told that there is none.',
    wrap: sent((pdu, { event }) => {
      const request = requestOf(event);
      if (pdu[0] !== opcode.findByTypeValueResponse || request === undefined) return [pdu];
      return [concat([opcode.errorResponse, request[0] ?? 0], u16le(handleIn(request)), [attError.attributeNotFound])];
    }),
  },
  {
    name: 'unit-contradicts',
    about: 'The presentation format names another unit.',
    symptom: 'The client labels metres as kilograms.',
    table: (table) => mapConstants(table, '2904', (bytes) => withOctet(bytes, 2, (octet) => octet ^ 0x03)),
  },
  {
    name: 'exponent-contradicts',
    about: 'The presentation format has no exponent.',
    symptom: 'The client shows 125 Hz where the board means 1.25 Hz.',
    table: (table) => mapConstants(table, '2904', (bytes) => withOctet(bytes, 1, (octet) => (octet === 0 ? 1 : 0))),
  },
  {
    name: 'label-cut',
    about: 'The user description lacks its last character.',
    symptom: 'Labels look wrong in every client.',
    table: (table) => mapConstants(table, '2901', (bytes) => bytes.slice(0, -1)),
  },
  {
    name: 'appearance-wrong',
    about: 'The appearance is unknown, whatever the contract says.',
    symptom: 'The phone shows the wrong icon.',
    table: (table) => mapConstants(table, '2A01', (bytes) => bytes.map((octet) => octet ^ 0x40)),
  },
  {
    name: 'connection-wish-missing',
    about: 'The preferred connection parameters are empty.',
    symptom: 'The phone chooses an interval at which the level trace stutters.',
    table: (table) => mapConstants(table, '2A04', () => new Uint8Array(8).fill(0xff)),
  },
];
