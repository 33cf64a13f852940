import { bug } from '../../base/bug.ts';
import { concat, type Bytes } from '../../base/bytes.ts';
import { longestWritable } from '../../att/server/prepare.ts';
import { defaultServerOptions } from '../../att/server.ts';
import type { Table } from '../../table/model.ts';
import { cccdNumbers, cccdRows, indicatable, packCccds } from './cccds.ts';
import { keptOf, packDefinitions, packFailsafes, slotOctets, type Kept } from './definitions.ts';
import { packDirectory } from './directory.ts';
import { headerOctets, packHeader, partNames, seal, type Counts, type PartName } from './header.ts';
import { Octets } from './octets.ts';
import { Pool } from './pool.ts';
import { limits, tooMuch, type Unpackable } from './refused.ts';
import { packRows } from './rows.ts';
import { Bases } from './uuids.ts';
import { packWords } from './words.ts';

export type PackOptions = {
  /** Whether ids, labels, units and names go in, for a console or a screen; default true. */
  readonly words?: boolean;
};

/** The packed table and the octets of its parts, in the order they lie; or why the table cannot be packed. */
export type Packed =
  | { readonly ok: true; readonly bytes: Bytes; readonly parts: readonly PackedPart[]; readonly memory: PackedMemory }
  | ({ readonly ok: false } & Unpackable);

export type PackedPart = { readonly name: PartName | 'header'; readonly octets: number };

/** What of a board's memory the table decides, octets. The prepare queue is for one client. */
export type PackedMemory = { readonly values: number; readonly prepareQueue: number };

/** The compiled table as the constant octets that a board on a chip works from. docs/packed-table.md */
export function packTable(table: Table, options: PackOptions = {}): Packed {
  const refused = tooMuch(table);
  if (refused !== undefined) return { ok: false, ...refused };

  const pool = new Pool();
  const bases = new Bases();
  const kept = keptOf(table);
  const configurations = cccdRows(table);
  const cccds = cccdNumbers(configurations);
  const numbers = { kept: new Map(kept.map(({ handle }, number) => [handle, number])), cccds };
  const { chapters, pages } = packDirectory(table.rows.map(({ handle }) => handle));
  const rows = packRows(table.rows, numbers, bases, pool);
  const definitions = packDefinitions(kept, cccds, pool);
  if (!(definitions instanceof Octets)) return { ok: false, ...definitions };
  const manyBases = tooManyBases(bases.octets.length);
  if (manyBases !== undefined) return { ok: false, ...manyBases };
  const parts = {
    chapters,
    directory: pages,
    rows,
    definitions,
    cccds: packCccds(configurations, table),
    failsafes: packFailsafes(table, pool),
    bases: new Octets().bytes(concat(...bases.octets)),
    words: options.words === false ? new Octets() : packWords(table, pool),
  };
  const broadcast = {
    advertising: table.advertising.bytes,
    scanResponse: table.scanResponse.bytes,
    hash: table.databaseHash.onAir,
  };
  for (const bytes of Object.values(broadcast)) pool.add(bytes);

  const poolOctets = pool.layOut();
  const octets = (name: PartName): Bytes => (name === 'pool' ? poolOctets : parts[name].finish(pool));
  const finished = partNames.map((name) => ({ name, bytes: octets(name) }));
  const tooLong = tooManyOctets(finished.reduce((sum, { bytes }) => sum + bytes.length, headerOctets));
  if (tooLong !== undefined) return { ok: false, ...tooLong };

  const counts: Counts = {
    rows: table.rows.length,
    values: table.values.length,
    definitions: kept.length,
    cccds: configurations.length,
    failsafes: table.values.filter(({ onLinkLoss }) => onLinkLoss.kind === 'set').length,
    bases: bases.octets.length,
    lastHandle: table.rows.at(-1)?.handle ?? 0,
    serviceChanged: table.rows.find(({ content }) => content.kind === 'service-changed')?.handle ?? 0,
    valueOctets: kept.reduce((sum, one) => sum + slotOctets(one), 0),
    prepareQueue: Math.ceil(defaultServerOptions(table).prepareQueueBytes / 4) * 4,
    longestValue: longest(kept),
    longestWritable: longestWritable(table),
    indicatable: indicatable(configurations),
  };
  const lengths = Object.fromEntries(finished.map(({ name, bytes }) => [name, bytes.length])) as Record<
    PartName,
    number
  >;
  const header = packHeader(counts, lengths, broadcast, table.radio, pool);
  const bytes = seal(concat(header, ...finished.map((part) => part.bytes)));
  bug(
    bytes.length === finished.reduce((sum, part) => sum + part.bytes.length, headerOctets),
    'the header has 80 octets',
  );
  return {
    ok: true,
    bytes,
    parts: [
      { name: 'header', octets: headerOctets },
      ...finished.map((part) => ({ name: part.name, octets: part.bytes.length })),
    ],
    memory: { values: counts.valueOctets, prepareQueue: counts.prepareQueue },
  };
}

function longest(kept: readonly Kept[]): number {
  return kept.reduce((most, { max }) => Math.max(most, max), 0);
}

function tooManyBases(bases: number): Unpackable | undefined {
  if (bases <= limits.bases) return undefined;
  return {
    why: `the UUIDs of the table have ${bases} bases, a packed table at most ${limits.bases}`,
    remedy: 'give the contract a `uuid-base` and leave out `uuid` where no other program asks for it',
  };
}

function tooManyOctets(octets: number): Unpackable | undefined {
  if (octets <= limits.octets) return undefined;
  return {
    why: `the packed table has ${octets} octets, ${limits.octets} are the most`,
    remedy: 'shorten labels and start values, or leave out characteristics',
  };
}
