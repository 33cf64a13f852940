import type { LedgerRow } from './rows.ts';

const columns = [
  'time_s',
  'side',
  'id',
  'how',
  'raw_hex',
  'number',
  'unit',
  'value',
  'board_ms',
  'connection',
  'delay_s',
  'mark',
] as const;

/** The header line, with its line end (RFC 4180: CR LF). */
export const csvHeader = `${columns.join(',')}\r\n`;

/** One row as a line of CSV, with its line end. Numbers have a point; what is missing is empty. */
export function csvLine(row: LedgerRow): string {
  const fields = [
    row.time.toFixed(6),
    row.side,
    row.id,
    row.how,
    row.raw,
    row.number?.toString() ?? '',
    row.unit,
    row.value,
    row.boardMs?.toString() ?? '',
    row.connection?.toString() ?? '',
    row.delay?.toFixed(6) ?? '',
    row.mark,
  ];
  return `${fields.map(quoted).join(',')}\r\n`;
}

/** RFC 4180 section 2: quotes around what holds a comma, a quote or a line end; a quote is doubled. */
function quoted(field: string): string {
  return /[",\r\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field;
}
