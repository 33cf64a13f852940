import { toHex } from '../base/bytes.ts';
import { plainPalette, printable, type Palette } from '../base/render-finding.ts';
import { isShortUuid, type Uuid } from '../base/uuid.ts';
import { attributeType, declarations } from '../numbers/descriptors.ts';
import { blockSize } from './advertising-block.ts';
import { showHandle } from './findings.ts';
import type { AdvertisingData, Row, Table } from './model.ts';
import { permissionWords } from './permissions.ts';
import { assignedName, rowMeaning } from './row-meaning.ts';
import { initialValue } from './row-value.ts';
import { textColumns, wrap } from './text-columns.ts';

export type RenderOptions = {
  /** Columns of the terminal. */
  readonly columns: number;
  readonly palette: Palette;
};

/** The table for a person at a terminal: attributes by service, the hash, what is advertised. Ends in a line end. */
export function renderTable(table: Table, options: RenderOptions = { columns: 100, palette: plainPalette }): string {
  return [
    ...renderRows(table, options),
    '',
    ...renderHash(table, options),
    '',
    ...renderBlock('Advertising data', table.advertising, options),
    '',
    ...renderBlock('Scan response data', table.scanResponse, options),
    '',
  ].join('\n');
}

function renderRows(table: Table, { columns, palette }: RenderOptions): readonly string[] {
  const narrow = columns < 100;
  const total = Math.max(columns, 80);
  const laidOut = textColumns(
    [
      { heading: 'handle', widest: 6 },
      { heading: 'type', widest: narrow ? 20 : 25 },
      { heading: 'permissions', widest: narrow ? 15 : 17 },
      // Hex is broken between octets; from 140 columns on a declaration with a 128-bit UUID stands on one line.
      { heading: 'value', widest: columns < 140 ? 16 : 38 },
    ],
    'about',
    table.rows.map((row) => rowCells(row, table)),
    total,
  );
  const starts = new Set(table.services.map(({ start }) => start));
  const lines = [palette.strong(laidOut.heading)];
  for (const [i, row] of laidOut.rows.entries()) {
    const opens = starts.has(table.rows[i]?.handle ?? 0);
    if (opens) lines.push('');
    lines.push(...(opens ? row.map(palette.strong) : row));
  }
  return lines;
}

function rowCells(row: Row, table: Table): readonly string[] {
  return [
    showHandle(row.handle),
    typeCell(row.type),
    permissionWords(row.permissions).join(' '),
    toHex(initialValue(row, table)),
    printable(aboutCell(row, table)),
  ];
}

/** Declarations are named; of what belongs to them the type says what it is, and this what it means. */
function aboutCell(row: Row, table: Table): string {
  const meaning = rowMeaning(row, table);
  const [owner = '', what = ''] = row.about.split(': ');
  if (row.type === attributeType.characteristic) return `${owner}: ${meaning}`;
  return isStructure(row.type) ? `${owner}, ${what}: ${meaning}` : meaning;
}

function isStructure(type: Uuid): boolean {
  return declarations.byUuid(type) !== undefined;
}

/** A UUID of one's own is shortened: it stands whole in the declaration before it. */
function typeCell(type: Uuid): string {
  if (!isShortUuid(type)) return `${type.slice(0, 8)}…`;
  const name = assignedName(type);
  if (name === undefined) return type;
  return `${type} ${isStructure(type) ? name : name.replace('Characteristic ', '')}`;
}

function renderHash({ databaseHash }: Table, { palette }: RenderOptions): readonly string[] {
  return [
    palette.strong('Database hash'),
    `  ${toHex(databaseHash.specification)}  as the standard prints it, most significant octet first`,
    `  ${toHex(databaseHash.onAir)}  as the board sends it, least significant octet first`,
  ];
}

function renderBlock(title: string, data: AdvertisingData, { columns, palette }: RenderOptions): readonly string[] {
  const { bytes, elements, cut } = data;
  const lines = [`${palette.strong(title)} (${bytes.length} of ${blockSize} octets)`];
  if (bytes.length > 0) lines.push(`  ${toHex(bytes)}`);
  for (const { offset, length, name, about } of elements) {
    const octets = toHex(bytes.slice(offset, offset + length));
    lines.push(...indented(`${octets.slice(0, 4)} ${octets.slice(4)}  ${name}: ${printable(about)}`, columns));
  }
  for (const { what, why } of cut) {
    lines.push(...indented(`not here: ${printable(what)}; ${printable(why)}`, columns).map(palette.warning));
  }
  return lines;
}

function indented(text: string, columns: number): readonly string[] {
  return wrap(text, Math.max(40, columns - 4)).map((line, i) => (i === 0 ? `  ${line}` : `    ${line}`));
}
