import type { LedgerRow } from './rows.ts';

/** One row as a line of JSON, with its line end. What a row lacks is left out; names carry the unit. */
export function jsonLine(row: LedgerRow): string {
  const fields = {
    time_s: row.time,
    side: row.side,
    id: row.id,
    how: row.how,
    raw_hex: row.raw,
    number: row.number,
    unit: row.unit === '' ? undefined : row.unit,
    value: row.value,
    board_ms: row.boardMs,
    connection: row.connection,
    delay_s: row.delay,
    mark: row.mark === '' ? undefined : row.mark,
  };
  return `${JSON.stringify(fields)}\n`;
}
