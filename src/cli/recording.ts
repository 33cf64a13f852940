import type { Clock } from '../base/clock.ts';
import { Ledger } from '../ledger/ledger.ts';
import type { Observation } from '../ledger/observation.ts';
import { reportText } from '../ledger/report-text.ts';
import { reportLedger } from '../ledger/report.ts';
import { SessionWriter } from '../ledger/session-writer.ts';
import type { SessionHead } from '../ledger/session.ts';
import { journalFile, type JournalFile } from '../links/journal-file.ts';
import type { Table } from '../table/model.ts';
import { CannotRun } from './cannot-run.ts';
import { cannotWrite } from './cannot-write.ts';
import type { Io } from './io.ts';

export type RecordingPlace = {
  readonly path: string;
  /** Whether a file that is there may be written over. */
  readonly replace: boolean;
};

/** A recording under way: journalled as it happens, with the ledger beside it. */
export type Recording = {
  take(observation: Observation): void;
  /**
   * Ends the recording and says what it came to.
   *
   * @throws CannotRun when the file did not take all of it
   */
  finish(io: Io, format: string | undefined): Promise<void>;
};

/** @throws CannotRun when the file is there already, or cannot be made */
export async function beginRecording(
  place: RecordingPlace,
  head: SessionHead,
  table: Table,
  clock: Clock,
): Promise<Recording> {
  const { path } = place;
  const file = await made(place);
  const failures: unknown[] = [];
  const start = clock.now();
  // Virtual time does not wait for the disk; the journal of such a run is written by the way.
  const writer = new SessionWriter(head, file, clock, (error) => failures.push(error));
  const ledger = new Ledger(table);
  return {
    take(observation) {
      writer.take(observation);
      ledger.take(observation);
    },
    async finish(io, format) {
      const isWhole = await writer.end();
      await file.close();
      ledger.finish();
      const report = reportLedger(ledger);
      io.out(
        format === 'json'
          ? `${JSON.stringify({ wrote: path, observations: writer.count, ...report }, undefined, 2)}\n`
          : reportText(report, { columns: io.columns, palette: io.outPalette }),
      );
      if (!isWhole) throw cannotWrite(path, failures[0]);
      const seconds = ((clock.now() - start) / 1e6).toFixed(1);
      io.err(`wrote ${path}: ${writer.count} observations in ${seconds} s\n`);
    },
  };
}

async function made({ path, replace }: RecordingPlace): Promise<JournalFile> {
  try {
    return await journalFile(path, replace);
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') {
      throw new CannotRun(`${path} is there already and stays as it is`, 'name another file, or say --force');
    }
    throw cannotWrite(path, error);
  }
}
