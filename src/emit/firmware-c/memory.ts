import { bug } from '../../base/bug.ts';
import { readU16le, type Bytes } from '../../base/bytes.ts';
import type { Table } from '../../table/model.ts';

/** Places in the header of a packed table (docs/packed-table.md). */
const places = {
  values: 10,
  definitions: 12,
  cccds: 14,
  failsafes: 16,
  valueOctets: 44,
  prepareQueue: 46,
  longestValue: 48,
  longestWritable: 50,
  indicatable: 52,
};

/** Octets of a point in time in a board's memory. */
const timeOctets = 8;

/**
 * Octets of memory that `gw_board_memory` asks for, as a C expression of GW_CONNECTIONS and GW_EVENT_OCTETS, so that a
 * build that changes them has the memory it needs.
 */
export function memoryExpression(table: Table, packed: Bytes): string {
  const read = (place: keyof typeof places): number => {
    const value = readU16le(packed, places[place]);
    bug(value !== undefined, 'a packed table has a whole header');
    return value;
  };
  const fixed =
    5 * read('values') +
    2 * timeOctets * read('cccds') +
    timeOctets * read('failsafes') +
    read('valueOctets') +
    read('definitions') +
    Math.max(table.radio.connection.mtu, read('longestWritable')) +
    read('longestValue');
  const each = 2 * read('indicatable') + Math.ceil(read('cccds') / 2) + read('prepareQueue');
  const events = read('longestValue') + 32 * read('failsafes');
  return `(${fixed}u + ${each}u * GW_CONNECTIONS + (GW_EVENT_OCTETS > 0 ? GW_EVENT_OCTETS + ${events}u : 0u))`;
}

/** Octets that the console needs for a typed line: docs/console.md, Lines. */
export function consoleOctets(table: Table): number {
  return table.values.reduce((most, { id, maxLength }) => Math.max(most, 6 + id.length + 2 * maxLength), 160);
}
