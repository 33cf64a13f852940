import { Ledger } from '../ledger/ledger.ts';
import type { Entry } from '../ledger/entry.ts';
import type { Observation } from '../ledger/observation.ts';
import type { SessionReader } from '../ledger/session-reader.ts';
import type { SessionHead } from '../ledger/session.ts';
import { readJournal } from '../links/journal-file.ts';
import { hasErrors } from '../base/finding.ts';
import { check } from '../table/check.ts';
import type { Table } from '../table/model.ts';
import { CannotRun } from './cannot-run.ts';
import type { Io } from './io.ts';

export type OpenedSession = {
  readonly head: SessionHead;
  readonly table: Table;
  /** With everything in it. */
  readonly ledger: Ledger;
};

export type SessionListener = {
  /** Called when the contract is known, before anything else. */
  readonly onBegin?: (head: SessionHead, table: Table) => void;
  readonly onObserved?: (observation: Observation) => void;
  readonly onEntry?: (entry: Entry) => void;
};

/**
 * Reads a recording through a ledger. What could not be read of it is told on standard error.
 *
 * @throws CannotRun when it is no recording, or its contract has errors
 */
export async function openSession(path: string, io: Io, listener: SessionListener = {}): Promise<OpenedSession> {
  const state: { opened?: OpenedSession; broken: boolean } = { broken: false };
  const begin = ({ head }: SessionReader): boolean => {
    const table = head === undefined ? undefined : tableOf(head.contract);
    if (head === undefined || table === undefined) {
      state.broken = true;
      return false;
    }
    const { onEntry } = listener;
    state.opened = { head, table, ledger: new Ledger(table, onEntry === undefined ? {} : { onEntry }) };
    listener.onBegin?.(head, table);
    return true;
  };
  let reader: SessionReader;
  try {
    reader = await readJournal(path, begin, (observation) => {
      listener.onObserved?.(observation);
      state.opened?.ledger.take(observation);
    });
  } catch (error) {
    throw cannotRead(path, error);
  }
  const { opened, broken } = state;
  if (broken)
    throw new CannotRun(`the contract in \`${path}\` has errors`, 'record with a contract that `check` accepts');
  if (opened === undefined) {
    throw new CannotRun(
      `\`${path}\` cannot be read: ${reader.refused ?? 'it is empty'}`,
      'name a file that `record` wrote',
    );
  }
  opened.ledger.finish();
  tellUnread(path, reader, io);
  return opened;
}

function tellUnread(path: string, reader: SessionReader, io: Io): void {
  for (const { line, why } of reader.unread) io.err(`${path}:${line}: left out: ${why}\n`);
  const more = reader.unreadCount - reader.unread.length;
  if (more > 0) io.err(`${path}: ${more} more lines were left out\n`);
  if (reader.torn) io.err(`${path}: the last line is torn, the recording was not ended\n`);
}

function tableOf(contract: string): Table | undefined {
  const { value, findings } = check(contract);
  return hasErrors(findings) ? undefined : value?.table;
}

function cannotRead(path: string, error: unknown): CannotRun {
  const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
  const why =
    { ENOENT: 'there is no such file', EISDIR: 'it is a folder', EACCES: 'you may not read it' }[code] ?? code;
  return new CannotRun(`\`${path}\` cannot be read: ${why}`, 'name a file that `record` wrote');
}
