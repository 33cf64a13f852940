import { PcapngWriter } from '../../capture/pcapng-writer.ts';
import { compareSessions, Digester, type SessionDigest } from '../../ledger/compare.ts';
import { csvHeader, csvLine } from '../../ledger/csv.ts';
import { jsonLine } from '../../ledger/json-lines.ts';
import { Ledger } from '../../ledger/ledger.ts';
import type { Entry } from '../../ledger/entry.ts';
import type { Observation } from '../../ledger/observation.ts';
import { packetCapture } from '../../ledger/packets.ts';
import { reportLedger } from '../../ledger/report.ts';
import { rowOf, type LedgerRow } from '../../ledger/rows.ts';
import { SessionReader } from '../../ledger/session-reader.ts';
import type { SessionHead } from '../../ledger/session.ts';
import type { Table } from '../../table/model.ts';
import type { BoardPlan } from './board-plan.ts';
import { planText } from './check-text.ts';
import type { ExportFormat, LedgerAnswer, LedgerWant } from './ledger-protocol.ts';
import type { Recordings } from './recordings.ts';

/** What can be done with recordings that are kept. @param writing the one that is being written */
export async function keeperAnswer(
  recordings: Recordings,
  want: LedgerWant,
  writing: number | undefined,
): Promise<LedgerAnswer> {
  switch (want.kind) {
    case 'recordings':
      return { kind: 'recordings', recordings: await recordings.list(writing) };
    case 'delete':
      if (want.id === writing) return { kind: 'refused', why: 'This recording is being written.' };
      await recordings.delete(want.id);
      return { kind: 'done' };
    case 'export':
      return exported(recordings, want.id, want.format);
    case 'compare': {
      const first = await digest(recordings, want.first);
      const second = await digest(recordings, want.second);
      if (first === undefined || second === undefined) return unreadable;
      return { kind: 'compared', differences: compareSessions(first, second) };
    }
    case 'import':
      return imported(recordings, want.name, want.text);
    default:
      return { kind: 'refused', why: 'This is asked of the session, not of a recording.' };
  }
}

const unreadable: LedgerAnswer = { kind: 'refused', why: 'The recording cannot be read.' };

export type OpenedRecording = { readonly head: SessionHead; readonly plan: BoardPlan };

/** Reads a recording through; `undefined` when it cannot be read or its contract has errors. */
export async function readRecording(
  recordings: Recordings,
  id: number,
  onBegin: (opened: OpenedRecording) => void,
  onObserved: (observation: Observation) => void,
): Promise<OpenedRecording | undefined> {
  const reader = new SessionReader();
  let opened: OpenedRecording | undefined;
  for await (const piece of recordings.pieces(id)) {
    for (const line of piece.split('\n')) {
      if (line === '') continue;
      const observation = reader.take(line);
      if (opened === undefined) {
        const { head } = reader;
        if (head === undefined) return undefined;
        const { value: plan } = await planText(head.contract);
        if (plan === undefined) return undefined;
        opened = { head, plan };
        onBegin(opened);
      }
      if (observation !== undefined) onObserved(observation);
    }
  }
  return opened;
}

/** Reads a recording through a ledger. */
async function readLedger(
  recordings: Recordings,
  id: number,
  onBegin: (table: Table) => void,
  onEntry: (entry: Entry, table: Table) => void,
): Promise<{ readonly opened: OpenedRecording; readonly ledger: Ledger } | undefined> {
  let ledger: Ledger | undefined;
  const opened = await readRecording(
    recordings,
    id,
    ({ plan: { table } }) => {
      onBegin(table);
      ledger = new Ledger(table, {
        onEntry: (entry) => {
          onEntry(entry, table);
        },
      });
    },
    (observation) => ledger?.take(observation),
  );
  ledger?.finish();
  return opened === undefined || ledger === undefined ? undefined : { opened, ledger };
}

async function digest(recordings: Recordings, id: number): Promise<SessionDigest | undefined> {
  let digester: Digester | undefined;
  const read = await readLedger(
    recordings,
    id,
    (table) => {
      digester = new Digester(table.values.map((value) => value.id));
    },
    (entry) => digester?.take(entry),
  );
  return read === undefined ? undefined : digester?.digest(reportLedger(read.ledger));
}

async function exported(recordings: Recordings, id: number, format: ExportFormat): Promise<LedgerAnswer> {
  if (format === 'recording') {
    const pieces: string[] = [];
    for await (const piece of recordings.pieces(id)) pieces.push(piece);
    return { kind: 'exported', content: new TextEncoder().encode(pieces.join('')) };
  }
  if (format === 'pcapng') return exportedPackets(recordings, id);
  const rows: LedgerRow[] = [];
  const read = await readLedger(
    recordings,
    id,
    () => undefined,
    (entry, table) => {
      const row = rowOf(table, entry);
      if (row !== undefined) rows.push(row);
    },
  );
  if (read === undefined) return unreadable;
  if (format === 'parquet') {
    const { parquetFile } = await import('../../ledger/parquet.ts');
    const { contract, began = '' } = read.opened.head;
    return { kind: 'exported', content: Uint8Array.from(parquetFile(rows, { contract, began })) };
  }
  const text = format === 'csv' ? csvHeader + rows.map(csvLine).join('') : rows.map(jsonLine).join('');
  return { kind: 'exported', content: new TextEncoder().encode(text) };
}

async function exportedPackets(recordings: Recordings, id: number): Promise<LedgerAnswer> {
  const pieces: Uint8Array<ArrayBuffer>[] = [];
  const writer = new PcapngWriter((octets) => pieces.push(Uint8Array.from(octets)), 'gattwright');
  const take = packetCapture(writer, 'session');
  const opened = await readRecording(recordings, id, () => undefined, take);
  if (opened === undefined) return unreadable;
  const content = new Uint8Array(await new Blob(pieces).arrayBuffer());
  return { kind: 'exported', content };
}

async function imported(recordings: Recordings, name: string, text: string): Promise<LedgerAnswer> {
  const reader = new SessionReader();
  let last = 0;
  let observations = 0;
  for (const line of text.split('\n')) {
    const observation = reader.take(line);
    if (reader.refused !== undefined) return { kind: 'refused', why: `“${name}” cannot be read: ${reader.refused}.` };
    if (observation === undefined) continue;
    observations += 1;
    last = observation.at;
  }
  const { head } = reader;
  if (head === undefined) return { kind: 'refused', why: `“${name}” is empty.` };
  const id = await recordings.begin(head.name, head.began ?? new Date().toISOString());
  await recordings.sink(id, () => ({ length: last, observations })).append(text.endsWith('\n') ? text : `${text}\n`);
  return { kind: 'done' };
}
