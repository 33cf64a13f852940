import { toHex } from '../../../base/bytes.ts';
import { isShortUuid } from '../../../base/uuid.ts';
import { declarations } from '../../../numbers/descriptors.ts';
import type { Row, Table } from '../../../table/model.ts';
import { showHandle } from '../../../table/findings.ts';
import { permissionWords } from '../../../table/permissions.ts';
import { assignedName, rowMeaning } from '../../../table/row-meaning.ts';
import { initialValue } from '../../../table/row-value.ts';

/** One line of the attribute table as it is printed. */
export type AttributeLine =
  | {
      readonly kind: 'attribute';
      readonly handle: string;
      readonly type: string;
      /** The UUID behind a name, or the first digits of a long one. */
      readonly uuid: string;
      readonly permissions: string;
      readonly octets: string;
      readonly meaning: string;
      /** A service begins here. */
      readonly opens: boolean;
      /** Declarations of services and characteristics. */
      readonly declares: boolean;
    }
  /** Handles that no attribute has. */
  | { readonly kind: 'gap'; readonly from: string; readonly to: string };

/** Octets of a value that are printed. */
const mostOctets = 24;

export function attributeLines(table: Table): readonly AttributeLine[] {
  const starts = new Set(table.services.map(({ start }) => start));
  const lines: AttributeLine[] = [];
  let next = 1;
  for (const row of table.rows) {
    if (row.handle > next) lines.push({ kind: 'gap', from: showHandle(next), to: showHandle(row.handle - 1) });
    lines.push(attributeLine(row, table, starts.has(row.handle)));
    next = row.handle + 1;
  }
  return lines;
}

function attributeLine(row: Row, table: Table, opens: boolean): AttributeLine {
  const bytes = initialValue(row, table);
  const shown = toHex(bytes.slice(0, mostOctets), ' ');
  const name = assignedName(row.type);
  const isShort = isShortUuid(row.type);
  return {
    kind: 'attribute',
    handle: showHandle(row.handle),
    type: name?.replace(/^Characteristic (?=.)/, '') ?? (isShort ? row.type : ownerOf(row)),
    // It stands whole in the declaration before.
    uuid: isShort ? (name === undefined ? '' : row.type) : `${row.type.slice(0, 8)}…`,
    permissions: permissionWords(row.permissions).map(spelled).join(', '),
    octets: bytes.length > mostOctets ? `${shown} … ${bytes.length} octets` : shown,
    meaning: rowMeaning(row, table),
    opens,
    declares: declarations.byUuid(row.type) !== undefined,
  };
}

/** `write without response (encrypted)` */
function spelled(word: string): string {
  const [way = '', need] = word.split(':');
  return need === undefined ? way.replaceAll('-', ' ') : `${way.replaceAll('-', ' ')} (${need})`;
}

/** `paddle` of `tank / paddle: value`: what a value with a UUID of one's own is. */
function ownerOf({ about }: Row): string {
  const owner = about.split(': ')[0] ?? about;
  return owner.split(' / ').at(-1) ?? owner;
}
