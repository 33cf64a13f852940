import { open, type FileHandle } from 'node:fs/promises';
import type { Bytes } from '../../base/bytes.ts';
import { PcapngWriter } from '../../capture/pcapng-writer.ts';
import { csvHeader, csvLine } from '../../ledger/csv.ts';
import { jsonLine } from '../../ledger/json-lines.ts';
import { packetCapture } from '../../ledger/packets.ts';
import { parquetFile } from '../../ledger/parquet.ts';
import { rowOf, type LedgerRow } from '../../ledger/rows.ts';
import { CannotRun } from '../cannot-run.ts';
import { cannotWrite } from '../cannot-write.ts';
import { required, type Run } from '../command.ts';
import type { Io } from '../io.ts';
import { openSession } from '../open-session.ts';
import { version } from '../version.ts';

export const run: Run = async (input, io) => {
  const path = required(input, 'SESSION');
  const format = input.option('format') ?? 'csv';
  const where = input.option('out') ?? '-';
  const isText = format === 'csv' || format === 'jsonl';
  if (where === '-' && !isText) {
    throw new CannotRun(`${format} is no text for a terminal`, 'name a file: `--out FILE`');
  }
  const out = where === '-' ? standardOutput(io) : await fileOutput(where, input.has('force'));
  try {
    const count = await write(format, path, io, out.put);
    await out.end();
    if (where !== '-') io.err(`wrote ${where}: ${count}\n`);
  } catch (error) {
    await out.end();
    throw error;
  }
  return 0;
};

type Output = { readonly put: (piece: string | Bytes) => void; readonly end: () => Promise<void> };

async function write(format: string, path: string, io: Io, put: Output['put']): Promise<string> {
  if (format === 'pcapng') return writePackets(path, io, put);
  if (format === 'parquet') {
    const rows: LedgerRow[] = [];
    const { head } = await eachRow(path, io, (row) => rows.push(row));
    put(parquetFile(rows, { contract: head.contract, session: path }));
    return `${rows.length} rows`;
  }
  const line = format === 'csv' ? csvLine : jsonLine;
  if (format === 'csv') put(csvHeader);
  let count = 0;
  await eachRow(path, io, (row) => {
    count += 1;
    put(line(row));
  });
  return `${count} rows`;
}

function eachRow(path: string, io: Io, onRow: (row: LedgerRow) => void): ReturnType<typeof openSession> {
  let rowFor: ((entry: Parameters<typeof rowOf>[1]) => LedgerRow | undefined) | undefined;
  return openSession(path, io, {
    onBegin: (_, table) => {
      rowFor = (entry) => rowOf(table, entry);
    },
    onEntry: (entry) => {
      const row = rowFor?.(entry);
      if (row !== undefined) onRow(row);
    },
  });
}

async function writePackets(path: string, io: Io, put: Output['put']): Promise<string> {
  let count = 0;
  const pieces: Bytes[] = [];
  const capture = packetCapture(new PcapngWriter((octets) => pieces.push(octets), `gattwright ${version}`), 'session');
  await openSession(path, io, {
    onObserved: (observation) => {
      if (observation.kind === 'packet') count += 1;
      capture(observation);
      for (const piece of pieces.splice(0)) put(piece);
    },
  });
  if (count === 0)
    throw new CannotRun(`\`${path}\` holds no packets`, 'record on a link that shows them, such as the virtual board');
  return `${count} packets`;
}

function standardOutput(io: Io): Output {
  return {
    put: (piece) => {
      io.out(typeof piece === 'string' ? piece : new TextDecoder().decode(piece));
    },
    end: () => Promise.resolve(),
  };
}

/** Pieces that are gathered before they are written. */
const together = 1 << 20;

async function fileOutput(path: string, replace: boolean): Promise<Output> {
  let file: FileHandle;
  try {
    file = await open(path, replace ? 'w' : 'wx');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') {
      throw new CannotRun(`${path} is there already and stays as it is`, 'name another file, or say --force');
    }
    throw cannotWrite(path, error);
  }
  let pieces: Bytes[] = [];
  let length = 0;
  let work = Promise.resolve();
  const flush = (): void => {
    const all = Buffer.concat(pieces);
    pieces = [];
    length = 0;
    work = work.then(() => file.appendFile(all));
  };
  return {
    put: (piece) => {
      const octets = typeof piece === 'string' ? new TextEncoder().encode(piece) : piece;
      pieces.push(octets);
      length += octets.length;
      if (length > together) flush();
    },
    end: async () => {
      flush();
      try {
        await work;
      } catch (error) {
        throw cannotWrite(path, error);
      } finally {
        await file.close();
      }
    },
  };
}
