import { bug } from '../../base/bug.ts';
import { concat, equalBytes, u16le, u8 } from '../../base/bytes.ts';
import { uuidBytes, uuidFromBytes } from '../../base/uuid.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Handle, Permissions, Row } from '../../table/model.ts';
import { needNumber } from './definitions.ts';
import { Octets } from './octets.ts';
import type { Pool } from './pool.ts';
import type { Bases } from './uuids.ts';

const rowKind = {
  constant: 0,
  characteristic: 1,
  service: 2,
  kept: 3,
  cccd: 4,
  'service-changed': 5,
  'client-supported-features': 6,
} as const;

export type RowNumbers = {
  /** Number of the definition by handle of the attribute. */
  readonly kept: ReadonlyMap<Handle, number>;
  readonly cccds: ReadonlyMap<Handle, number>;
};

export function packRows(rows: readonly Row[], numbers: RowNumbers, bases: Bases, pool: Pool): Octets {
  const octets = new Octets();
  for (const [i, row] of rows.entries()) packRow(octets, row, rows[i + 1], numbers, bases, pool);
  return octets;
}

function packRow(octets: Octets, row: Row, next: Row | undefined, numbers: RowNumbers, bases: Bases, pool: Pool): void {
  const { handle, content } = row;
  const type = bases.pack(row.type);
  const permissions = permissionBits(row.permissions);
  const put = (kind: number, length: number, allowed = 0, base = type.base): Octets =>
    octets
      .u16(type.slot)
      .u8(base, permissions)
      .u16(length | (kind << 10) | (allowed << 13));

  switch (content.kind) {
    case 'constant': {
      const { bytes } = content;
      const properties = declaredProperties(row, next);
      if (properties !== undefined) {
        put(rowKind.characteristic, bytes.length).u16(properties);
        break;
      }
      const service = type.base === 0 && isService(row) ? uuidFromBytes(bytes) : undefined;
      if (service !== undefined) {
        const uuid = bases.pack(service);
        put(rowKind.service, bytes.length, 0, uuid.base).u16(uuid.slot);
        break;
      }
      put(rowKind.constant, bytes.length).pool(pool.add(bytes));
      break;
    }
    case 'value':
    case 'description': {
      const number = numbers.kept.get(handle);
      bug(number !== undefined, `no definition for handle ${handle}`);
      put(rowKind.kept, 0).u16(number);
      break;
    }
    case 'cccd': {
      const number = numbers.cccds.get(handle);
      bug(number !== undefined, `no CCCD at handle ${handle}`);
      put(rowKind.cccd, 0, content.allowed).u16(number);
      break;
    }
    case 'service-changed':
    case 'client-supported-features':
      put(rowKind[content.kind], 0).u16(0);
      break;
  }
}

function isService({ type }: Row): boolean {
  return type === attributeType.primaryService || type === attributeType.secondaryService;
}

/** The property bits of a characteristic declaration whose handle and UUID are those of the next row. */
function declaredProperties(row: Row, next: Row | undefined): number | undefined {
  if (row.type !== attributeType.characteristic || row.content.kind !== 'constant' || next === undefined) {
    return undefined;
  }
  const { bytes } = row.content;
  const properties = bytes[0] ?? 0;
  const expected = concat(u8(properties), u16le(next.handle), uuidBytes(next.type));
  return equalBytes(bytes, expected) ? properties : undefined;
}

function permissionBits({ read, write, writeRequest, writeCommand }: Permissions): number {
  const readBits = read === undefined ? 0 : 1 + needNumber[read];
  const writeBits = write === undefined ? 0 : 1 + needNumber[write];
  return readBits | (writeBits << 3) | (writeRequest ? 0x40 : 0) | (writeCommand ? 0x80 : 0);
}
