import { toHex, type Bytes } from '../../base/bytes.ts';
import type { Row, Table } from '../../table/model.ts';
import type { PackedPart } from '../packed-table/pack-table.ts';
import { Writer } from '../writer.ts';
import { blockComment, commentText } from './comment.ts';

export type TableText = {
  readonly prefix: string;
  readonly bytes: Bytes;
  readonly parts: readonly PackedPart[];
  readonly lineOf: (row: Row) => number;
};

/** What each part of the packed table is, for a reader. */
const about: Readonly<Record<string, string>> = {
  header: 'Header: counts, places of the parts, radio.',
  chapters: 'Directory, upper part: pages by handle.',
  directory: 'Directory: for each page the first row and which handles there are.',
  rows: 'Attributes, in handle order: type, kind, permissions, place of the content, length.',
  definitions: 'Values: lengths, checks, start value, policy.',
  cccds: 'Client Characteristic Configurations.',
  failsafes: 'Values that are set when the last client has gone.',
  bases: 'UUID bases of 128-bit types.',
  pool: 'Constants: declarations, names, start values, checks.',
  words: 'For people: ids, labels, units, names.',
};

/** The packed table as a constant array: one line an attribute, said what it is; the rest in rows of 16. */
export function renderTable(table: Table, { prefix, bytes, parts, lineOf }: TableText): string {
  const writer = new Writer();
  writer.line(`#include "${prefix}.h"`).gap();
  writer.lines(
    blockComment([
      'The packed table (docs/packed-table.md of gattwright): all that the runtime knows of the contract, as constant octets.',
      `${bytes.length} octets. Database hash ${toHex(table.databaseHash.specification)}, most significant octet first.`,
    ]),
  );
  writer.block(`GW_TABLE_ALIGNED const uint8_t ${prefix}_table[${prefix.toUpperCase()}_TABLE_SIZE] = {`, '};', () => {
    let at = 0;
    for (const { name, octets } of parts) {
      const part = bytes.subarray(at, at + octets);
      at += octets;
      if (octets === 0) continue;
      writer.gap().lines(blockComment([about[name] ?? name]));
      if (name === 'rows' && octets % table.rows.length === 0) attributeLines(writer, table, part, lineOf);
      else for (let i = 0; i < part.length; i += 16) writer.line(octetsText(part.subarray(i, i + 16)));
    }
  });
  return writer.text();
}

function attributeLines(writer: Writer, table: Table, part: Bytes, lineOf: (row: Row) => number): void {
  const each = part.length / table.rows.length;
  for (const [i, row] of table.rows.entries()) {
    const handle = row.handle.toString(16).toUpperCase().padStart(4, '0');
    const line = lineOf(row);
    const where = line === 0 ? '' : `, line ${line}`;
    const octets = octetsText(part.subarray(i * each, (i + 1) * each));
    writer.line(`${octets} /* 0x${handle} ${commentText(row.about)}${where} */`);
  }
}

function octetsText(octets: Bytes): string {
  return [...octets].map((octet) => `0x${octet.toString(16).toUpperCase().padStart(2, '0')},`).join(' ');
}
