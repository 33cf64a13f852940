import { us, type Microseconds } from '../../base/quantity.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Basis } from '../basis.ts';
import type { Connection } from './connection.ts';
import { fragments } from './fragment.ts';
import { dataPacketTime, interFrameSpace } from '../../radio/air-time.ts';
import { valueHeader } from './packing.ts';

export type ProcedureName = 'read' | 'write' | 'write command' | 'notification' | 'indication';

/** One ATT PDU on its way: `down` to the board, `up` from it. */
export type PduCost = { readonly direction: 'down' | 'up'; readonly name: string; readonly octets: number };

/** What doing something once with one value costs at the value's longest. */
export type ProcedureCost = {
  readonly id: string;
  readonly procedure: ProcedureName;
  /** Octets of value that get through; less than the value's longest when the MTU cuts it. */
  readonly octets: number;
  readonly pdus: readonly PduCost[];
  /** Link-layer packets that carry them, and the empty ones that answer or poll. */
  readonly packets: number;
  /** On the air from the first bit to the last space, if nothing else uses the events and nothing is lost. */
  readonly airTime: Microseconds;
  /** Octets of value over octets on the air, preambles to CRCs included, 0..1. */
  readonly efficiency: number;
  /** Connection events that it takes at least: a request and its answer are in different ones. */
  readonly events: number;
};

/** Octets of a packet besides its payload: preamble, access address, header, CRC. Core Vol 6 Part B 2.1. */
const packetOverhead = { '1M': 10, '2M': 11, 'coded-s2': 10, 'coded-s8': 10 } as const;

/** Every procedure that the contract allows on each of its values, in handle order. */
export function procedureCosts(table: Table, connection: Connection): readonly ProcedureCost[] {
  return table.values.flatMap((value) =>
    proceduresOf(value).map((procedure) => procedureCost(value.id, procedure, value.maxLength, connection)),
  );
}

function proceduresOf({ access }: ValueDefinition): readonly ProcedureName[] {
  const names: ProcedureName[] = [];
  if (access.includes('read')) names.push('read');
  if (access.includes('write')) names.push('write');
  if (access.includes('write-without-response')) names.push('write command');
  if (access.includes('notify')) names.push('notification');
  if (access.includes('indicate')) names.push('indication');
  return names;
}

/** @param octets of the value */
export function procedureCost(
  id: string,
  procedure: ProcedureName,
  octets: number,
  connection: Connection,
): ProcedureCost {
  const { phy, mtu, dataLength, encrypted } = connection;
  const pdus = pdusOf(procedure, octets, mtu);
  const sent =
    procedure === 'notification' || procedure === 'indication' || procedure === 'write command'
      ? Math.min(octets, mtu - valueHeader)
      : octets;
  let packets = 0;
  let time = 0;
  let onAir = 0;
  for (const pdu of pdus) {
    for (const payload of fragments(pdu.octets, dataLength)) {
      packets += 2;
      time += dataPacketTime(phy, payload, encrypted) + dataPacketTime(phy, 0, encrypted) + 2 * interFrameSpace;
      onAir += payload + (encrypted ? 4 : 0) + 2 * packetOverhead[phy];
    }
  }
  // What goes up answers a poll, so a sequence of several exchanges needs an event for each; one PDU alone needs one.
  const turns = pdus.reduce(
    (count, pdu, i) => count + (i === 0 || pdu.direction !== pdus[i - 1]?.direction ? 1 : 0),
    0,
  );
  return { id, procedure, octets: sent, pdus, packets, airTime: us(time), efficiency: sent / onAir, events: turns };
}

/** Core Vol 3 Part F 3.4 for the headers, Part G 4.8.3 and 4.9.4 for long values. */
function pdusOf(procedure: ProcedureName, octets: number, mtu: number): readonly PduCost[] {
  const down = (name: string, size: number): PduCost => ({ direction: 'down', name, octets: size });
  const up = (name: string, size: number): PduCost => ({ direction: 'up', name, octets: size });
  switch (procedure) {
    case 'read': {
      const room = mtu - 1;
      const pdus = [down('Read Request', 3), up('Read Response', 1 + Math.min(octets, room))];
      // A full response leaves the client in doubt: it asks on until one is not full.
      for (let at = room; at <= octets; at += room) {
        pdus.push(down('Read Blob Request', 5), up('Read Blob Response', 1 + Math.min(octets - at, room)));
      }
      return pdus;
    }
    case 'write': {
      if (octets <= mtu - valueHeader) return [down('Write Request', valueHeader + octets), up('Write Response', 1)];
      const room = mtu - 5;
      const pdus: PduCost[] = [];
      for (let at = 0; at < octets; at += room) {
        const part = Math.min(room, octets - at);
        pdus.push(down('Prepare Write Request', 5 + part), up('Prepare Write Response', 5 + part));
      }
      return [...pdus, down('Execute Write Request', 2), up('Execute Write Response', 1)];
    }
    case 'write command':
      return [down('Write Command', Math.min(mtu, valueHeader + octets))];
    case 'notification':
      return [up('Handle Value Notification', Math.min(mtu, valueHeader + octets))];
    case 'indication':
      return [up('Handle Value Indication', Math.min(mtu, valueHeader + octets)), down('Handle Value Confirmation', 1)];
  }
}

export const procedureBasis: Basis = {
  formula:
    'air time = Σ over packets (packet + 150 µs + empty packet + 150 µs); efficiency = octets of value / octets on the air; events = changes of direction',
  source: 'Core Vol 3 Part F 3.4; Vol 3 Part G 4.8, 4.9; Vol 3 Part A 3.1; Vol 6 Part B 2.1, 2.2, 4.1.1',
  assumes: [
    'the value at its longest, nothing lost, nothing else in the events',
    'each packet is answered by an empty one',
    'the board’s host answers a request in a later event than the one that brought it',
  ],
  validity: [
    'a client that reads a value of exactly MTU - 1 octets asks once more; one that knows the length need not',
    'time on the air is not the delay: that is mostly waiting for connection events',
  ],
};

/** Packet lengths and times of one PHY, for a table. */
export type AirTimes = {
  readonly phy: Connection['phy'];
  /** µs without and with MIC; a packet without payload carries none. */
  readonly rows: readonly { readonly payload: number; readonly plain: Microseconds; readonly mic: Microseconds }[];
};

/** Payloads that tables of air time show: empty, a lone confirmation, the default limit, the extended limit. */
const shownPayloads = [0, 5, 27, 251] as const;

export function airTimes(): readonly AirTimes[] {
  return (['1M', '2M', 'coded-s2', 'coded-s8'] as const).map((phy) => ({
    phy,
    rows: shownPayloads.map((payload) => ({
      payload,
      plain: dataPacketTime(phy, payload, false),
      mic: dataPacketTime(phy, payload, true),
    })),
  }));
}
