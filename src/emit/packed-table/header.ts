import type { Bytes } from '../../base/bytes.ts';
import type { Microseconds } from '../../base/quantity.ts';
import type { Phy, Radio } from '../../contract/model.ts';
import { preferredConnection } from '../../table/generic-services.ts';
import { fletcher16 } from './fletcher.ts';
import { Octets } from './octets.ts';
import type { Pool } from './pool.ts';

/** `GW`, `T`, version 1. */
const magic = Uint8Array.of(0x47, 0x57, 0x54, 0x01);

/** Octets of magic, size and sum, over which the sum does not run. */
const startOctets = 8;

export const headerOctets = 80;

/** The parts whose offsets stand in the header, in the order they lie. The words are last, if they are there. */
export const partNames = [
  'chapters',
  'directory',
  'rows',
  'definitions',
  'cccds',
  'failsafes',
  'bases',
  'pool',
  'words',
] as const;

export type PartName = (typeof partNames)[number];

export type Counts = {
  readonly rows: number;
  readonly values: number;
  readonly definitions: number;
  readonly cccds: number;
  readonly failsafes: number;
  readonly bases: number;
  readonly lastHandle: number;
  readonly serviceChanged: number;
  readonly valueOctets: number;
  readonly prepareQueue: number;
  readonly longestValue: number;
  readonly longestWritable: number;
  readonly indicatable: number;
};

export type Broadcast = { readonly advertising: Bytes; readonly scanResponse: Bytes; readonly hash: Bytes };

/** All behind the sum. The pool has the constants of `broadcast` and is laid out. */
export function packHeader(
  counts: Counts,
  lengths: Readonly<Record<PartName, number>>,
  broadcast: Broadcast,
  radio: Radio,
  pool: Pool,
): Bytes {
  const header = new Octets()
    .u16(counts.rows, counts.values, counts.definitions, counts.cccds, counts.failsafes)
    .u8(counts.bases, 0)
    .u16(counts.lastHandle, counts.serviceChanged);
  let offset = headerOctets;
  for (const name of partNames) {
    if (name === 'words') header.u16(lengths.pool, lengths.words === 0 ? 0 : offset);
    else header.u16(offset);
    offset += lengths[name];
  }
  header.u16(counts.valueOctets, counts.prepareQueue, counts.longestValue, counts.longestWritable, counts.indicatable);
  for (const data of [broadcast.advertising, broadcast.scanResponse]) header.pool(pool.add(data)).u8(data.length);
  header.pool(pool.add(broadcast.hash));
  packRadio(header, radio);
  return header.finish(pool);
}

/** Magic, size and sum in front of the rest. */
export function seal(rest: Bytes): Bytes {
  const size = startOctets + rest.length;
  return new Octets().bytes(magic).u16(size, fletcher16(rest)).bytes(rest).finish();
}

function packRadio(header: Octets, { advertise, connection }: Radio): void {
  header.u16(advertisingSteps(advertise.interval.min), advertisingSteps(advertise.interval.max));
  // Interval, latency and timeout in the units and bounds of Peripheral Preferred Connection Parameters.
  header.bytes(preferredConnection({ connection }));
  header.u16(Math.min(517, Math.max(23, connection.mtu)), connection.dataLength);
  header.u8(phyBits[connection.phy], phyOptions[connection.phy]);
}

/** Legacy advertising: 0x0020 to 0x4000 steps of 0.625 ms. Core Vol 4 Part E 7.8.5. */
function advertisingSteps(time: Microseconds): number {
  return Math.min(0x4000, Math.max(0x0020, Math.round(time / 625)));
}

/** PHY_Options of LE Set PHY, Core Vol 4 Part E 7.8.49: which coding. */
const phyOptions: Readonly<Record<Phy, number>> = { '1M': 0, '2M': 0, 'coded-s2': 1, 'coded-s8': 2 };

const phyBits: Readonly<Record<Phy, number>> = { '1M': 1, '2M': 2, 'coded-s2': 4, 'coded-s8': 4 };
