import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import { PcapngWriter } from '../capture/pcapng-writer.ts';
import type { Table } from '../table/model.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { judge, recordSession } from '../../test/support/ledger-session.ts';
import { csvHeader, csvLine } from './csv.ts';
import type { Entry } from './entry.ts';
import { jsonLine } from './json-lines.ts';
import type { Observation } from './observation.ts';
import { packetCapture } from './packets.ts';
import { parquetFile } from './parquet.ts';
import { rowOf, type LedgerRow } from './rows.ts';

let table: Table;
let entries: readonly Entry[];
let rows: readonly LedgerRow[];

beforeAll(async () => {
  const session = await recordSession(3);
  ({ table } = session);
  ({ entries } = judge(table, session.observations));
  rows = entries.flatMap((entry) => rowOf(table, entry) ?? []);
});

/** RFC 4180, read by a machine of its own. */
function parseCsv(text: string): string[][] {
  const records: string[][] = [];
  let record: string[] = [];
  let field = '';
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const character = text[i]!;
    if (quoted) {
      if (character !== '"') field += character;
      else if (text[i + 1] === '"') {
        field += '"';
        i += 1;
      } else quoted = false;
    } else if (character === '"') quoted = true;
    else if (character === ',') {
      record.push(field);
      field = '';
    } else if (character === '\r' && text[i + 1] === '\n') {
      i += 1;
      records.push([...record, field]);
      record = [];
      field = '';
    } else field += character;
  }
  return records;
}

const anyRow: fc.Arbitrary<LedgerRow> = fc.record({
  time: fc.nat({ max: 1e9 }).map((n) => n / 1000),
  side: fc.constantFrom('board', 'air', 'missing'),
  id: fc.constantFrom('level', 'note'),
  how: fc.constantFrom('rig', 'read refused 0x05'),
  raw: fc.constantFrom('', '00ff'),
  number: fc.option(fc.double({ noNaN: true, noDefaultInfinity: true }), { nil: undefined }),
  unit: fc.constantFrom('', 'Hz', '°C'),
  value: fc.string({ unit: 'grapheme' }),
  boardMs: fc.option(fc.nat(), { nil: undefined }),
  connection: fc.option(fc.nat({ max: 9 }), { nil: undefined }),
  delay: fc.option(
    fc.nat({ max: 1e6 }).map((n) => n / 1e6),
    { nil: undefined },
  ),
  mark: fc.constantFrom('', 'lost'),
});

describe('CSV', () => {
  it('comes back as it was, whatever the texts hold', () => {
    fc.assert(
      fc.property(fc.array(anyRow, { maxLength: 5 }), (some) => {
        const [names, ...records] = parseCsv(csvHeader + some.map(csvLine).join(''));
        expect(names).toHaveLength(12);
        expect(records.map((record) => [record[2], record[7], record[11]])).toEqual(
          some.map(({ id, value, mark }) => [id, value, mark]),
        );
        for (const [i, record] of records.entries()) {
          expect(record).toHaveLength(12);
          expect(record[5] === '' ? undefined : Number(record[5])).toBe(some[i]!.number === 0 ? 0 : some[i]!.number);
        }
      }),
    );
  });
});

describe('Parquet', () => {
  it('comes back as it was through a reader of its own', async () => {
    const file = parquetFile(rows, { contract: 'x' });
    const buffer = file.buffer as ArrayBuffer;
    const read = (await parquetReadObjects({ file: buffer })) as Record<string, unknown>[];
    expect(read).toHaveLength(rows.length);
    for (const [i, row] of rows.entries()) {
      expect(read[i]).toEqual({
        time_s: row.time,
        side: row.side,
        id: row.id,
        how: row.how,
        raw_hex: row.raw,
        number: row.number ?? null,
        unit: row.unit,
        value: row.value,
        board_ms: row.boardMs === undefined ? null : BigInt(row.boardMs),
        connection: row.connection === undefined ? null : BigInt(row.connection),
        delay_s: row.delay ?? null,
        mark: row.mark,
      });
    }
    expect(parquetMetadata(buffer).key_value_metadata).toEqual([{ key: 'contract', value: 'x' }]);
  });

  it('may be empty', async () => {
    const file = parquetFile([], {});
    expect(await parquetReadObjects({ file: file.buffer as ArrayBuffer })).toEqual([]);
  });
});

describe('JSON lines', () => {
  it('carry a row each, and leave out what it lacks', () => {
    fc.assert(
      fc.property(anyRow, (row) => {
        const line = jsonLine(row);
        expect(line.indexOf('\n')).toBe(line.length - 1);
        const read = JSON.parse(line) as Record<string, unknown>;
        expect(read['value']).toBe(row.value);
        expect('delay_s' in read).toBe(row.delay !== undefined);
      }),
    );
  });
});

describe('rows', () => {
  it('say what octets mean in the unit of the contract', () => {
    const board = boardTable();
    const index = board.values.findIndex(({ id }) => id === 'speed');
    const entry: Entry = {
      kind: 'truth',
      value: index,
      version: 0,
      at: us(1_500_000),
      ms: 1500,
      raw: Uint8Array.of(125, 0),
      cause: 'air',
    };
    expect(rowOf(board, entry)).toEqual({
      time: 1.5,
      side: 'board',
      id: 'speed',
      how: 'air',
      raw: '7d00',
      number: 1.25,
      unit: 'Hz',
      value: '1.25 Hz',
      boardMs: 1500,
      connection: undefined,
      delay: undefined,
      mark: '',
    });
    const dye = board.values.findIndex(({ id }) => id === 'dye');
    expect(rowOf(board, { ...entry, value: dye, raw: Uint8Array.of(1) })).toMatchObject({
      number: undefined,
      value: 'fluorescein',
    });
  });
});

describe('packets', () => {
  it('are wrapped as a host sees them: pcapng, H4, ACL, L2CAP, ATT', () => {
    const parts: Uint8Array[] = [];
    const take = packetCapture(new PcapngWriter((octets) => parts.push(octets), 'test'), 'session');
    const pdus: Observation[] = [
      { kind: 'packet', at: us(1000), connection: 1, from: 'central', pdu: Uint8Array.of(0x0a, 0x10, 0x00) },
      { kind: 'printed', at: us(1500), line: 'x' },
      { kind: 'packet', at: us(2000), connection: 1, from: 'board', pdu: Uint8Array.of(0x0b, 0x32, 0x00) },
    ];
    for (const one of pdus) take(one);
    const file = Buffer.concat(parts);
    const packets: { at: number; data: string }[] = [];
    // Blocks of pcapng, taken apart by hand: type, length, and in type 6 interface, time high and low, lengths, data.
    for (let at = 0; at < file.length; at += file.readUInt32LE(at + 4)) {
      if (file.readUInt32LE(at) !== 6) continue;
      const length = file.readUInt32LE(at + 20);
      packets.push({
        at: file.readUInt32LE(at + 12) * 2 ** 32 + file.readUInt32LE(at + 16),
        data: file.subarray(at + 28, at + 28 + length).toString('hex'),
      });
    }
    expect(packets).toEqual([
      // Direction, H4 type, handle 1, length 7, L2CAP length 3, channel 4, Read Request of 0x0010.
      { at: 1000, data: '00000000' + '02' + '0100' + '0700' + '0300' + '0400' + '0a1000' },
      { at: 2000, data: '00000001' + '02' + '0120' + '0700' + '0300' + '0400' + '0b3200' },
    ]);
  });
});
