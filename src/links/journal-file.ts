import { createReadStream } from 'node:fs';
import { open, type FileHandle } from 'node:fs/promises';
import type { Observation } from '../ledger/observation.ts';
import { SessionReader } from '../ledger/session-reader.ts';
import type { SessionSink } from '../ledger/session-writer.ts';

export type JournalFile = SessionSink & { close(): Promise<void> };

/**
 * A recording as a file. What was appended has left the program and the system's own buffers when it is over.
 *
 * @param replace whether a file of that name may be written over
 * @throws what the system says when it cannot be made: EEXIST and the like
 */
export async function journalFile(path: string, replace: boolean): Promise<JournalFile> {
  const file: FileHandle = await open(path, replace ? 'w' : 'wx');
  return {
    async append(text) {
      await file.appendFile(text);
      await file.datasync();
    },
    close: () => file.close(),
  };
}

/**
 * Reads a recording from a file, line by line.
 *
 * @param onHead called once, before the first observation; it may end the reading by answering `false`
 * @returns the reader, with what it could not read
 * @throws what the system says when the file cannot be read
 */
export async function readJournal(
  path: string,
  onHead: (reader: SessionReader) => boolean,
  onObserved: (observation: Observation) => void,
): Promise<SessionReader> {
  const reader = new SessionReader();
  const stream = createReadStream(path, 'utf8');
  let rest = '';
  let begun = false;
  for await (const piece of stream as AsyncIterable<string>) {
    const lines = (rest + piece).split('\n');
    rest = lines.pop() ?? '';
    for (const line of lines) {
      const observation = reader.take(line);
      if (!begun) {
        begun = true;
        if (reader.refused !== undefined || !onHead(reader)) return reader;
      }
      if (observation !== undefined) onObserved(observation);
    }
    // No line of ours is that long, and no file of somebody else's is worth the memory.
    if (rest.length > longestLine) break;
  }
  if (rest !== '') {
    const observation = reader.take(rest.slice(0, longestLine));
    if (!begun && reader.refused === undefined) onHead(reader);
    if (observation !== undefined) onObserved(observation);
  }
  reader.end(rest === '');
  return reader;
}

const longestLine = 4_000_000;
