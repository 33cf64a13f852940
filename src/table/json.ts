import { toHex } from '../base/bytes.ts';
import type { Uuid } from '../base/uuid.ts';
import type { Handle, Table } from './model.ts';
import { permissionWords } from './permissions.ts';
import { initialValue } from './row-value.ts';

/** A table for programs. Hex is lower case without separators, octets in the order of the air unless said otherwise. */
export type TableJson = {
  readonly databaseHash: {
    /** Most significant octet first, as the standard prints it. */
    readonly specification: string;
    /** Least significant octet first, as we send it. */
    readonly onAir: string;
  };
  readonly advertising: string;
  readonly scanResponse: string;
  readonly rows: readonly {
    readonly handle: Handle;
    /** `2803`, or 36 characters. */
    readonly type: Uuid;
    /** `read`, `write:encrypted`, `write-without-response`. */
    readonly permissions: readonly string[];
    /** At power-up. */
    readonly value: string;
    readonly about: string;
  }[];
};

export function tableJson(table: Table): TableJson {
  return {
    databaseHash: {
      specification: toHex(table.databaseHash.specification),
      onAir: toHex(table.databaseHash.onAir),
    },
    advertising: toHex(table.advertising.bytes),
    scanResponse: toHex(table.scanResponse.bytes),
    rows: table.rows.map((row) => ({
      handle: row.handle,
      type: row.type,
      permissions: permissionWords(row.permissions),
      value: toHex(initialValue(row, table)),
      about: row.about,
    })),
  };
}
