import { parquetWriteBuffer } from 'hyparquet-writer/src/write.js';
import type { Bytes } from '../base/bytes.ts';
import type { LedgerRow } from './rows.ts';

/** Rows of one group: what a reader takes into memory at once. */
const groupSize = 100_000;

/**
 * The rows as an Apache Parquet file: one column for each field, named with its unit, nullable where a row may lack it. The
 * whole file is made in memory, some 40 octets a row.
 *
 * @param about kept in the file's own key-value metadata
 */
export function parquetFile(rows: readonly LedgerRow[], about: Readonly<Record<string, string>>): Bytes {
  const text = (name: string, of: (row: LedgerRow) => string): object => ({
    name,
    type: 'STRING' as const,
    nullable: false,
    data: rows.map(of),
  });
  const number = (name: string, of: (row: LedgerRow) => number | undefined): object => ({
    name,
    type: 'DOUBLE' as const,
    nullable: true,
    data: rows.map((row) => of(row) ?? null),
  });
  const whole = (name: string, of: (row: LedgerRow) => number | undefined): object => ({
    name,
    type: 'INT64' as const,
    nullable: true,
    data: rows.map((row) => {
      const value = of(row);
      return value === undefined ? null : BigInt(value);
    }),
  });
  const columnData = [
    { name: 'time_s', type: 'DOUBLE' as const, nullable: false, data: Float64Array.from(rows, ({ time }) => time) },
    text('side', ({ side }) => side),
    text('id', ({ id }) => id),
    text('how', ({ how }) => how),
    text('raw_hex', ({ raw }) => raw),
    number('number', (row) => row.number),
    text('unit', ({ unit }) => unit),
    text('value', ({ value }) => value),
    whole('board_ms', ({ boardMs }) => boardMs),
    whole('connection', ({ connection }) => connection),
    number('delay_s', ({ delay }) => delay),
    text('mark', ({ mark }) => mark),
  ] as Parameters<typeof parquetWriteBuffer>[0]['columnData'];
  const file = parquetWriteBuffer({
    columnData,
    rowGroupSize: groupSize,
    createdBy: 'gattwright',
    kvMetadata: Object.entries(about).map(([key, value]) => ({ key, value })),
  });
  return new Uint8Array(file);
}
