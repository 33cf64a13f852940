import { VirtualClock, type Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import { VirtualBoard } from '../../board/virtual-board.ts';
import { parseConsoleLine } from '../../board/console.ts';
import { Ledger } from '../../ledger/ledger.ts';
import { keepTime } from '../../ledger/keep-time.ts';
import { observeLink } from '../../ledger/observe.ts';
import { reportText } from '../../ledger/report-text.ts';
import { reportLedger } from '../../ledger/report.ts';
import { SessionWriter } from '../../ledger/session-writer.ts';
import { inMemoryLink } from '../../links/in-memory.ts';
import { journalFile, type JournalFile } from '../../links/journal-file.ts';
import { RealClock } from '../../links/real-clock.ts';
import type { CrossedPdu } from '../../att/link.ts';
import { sourceText } from '../../contract/source.ts';
import type { Table } from '../../table/model.ts';
import { Central } from '../central.ts';
import { CannotRun } from '../cannot-run.ts';
import { cannotWrite } from '../cannot-write.ts';
import { chosenRig } from '../chosen-rig.ts';
import { required, type Run } from '../command.ts';
import type { Io } from '../io.ts';
import { openCompiled } from '../open-contract.ts';
import { timeOption } from '../time-option.ts';

export const run: Run = async (input, io) => {
  const compiled = await openCompiled(required(input, 'FILE'), io);
  if (compiled === undefined) return 2;
  const { table, path, name, bytes } = compiled;
  const out = input.option('out');
  if (out === undefined) throw new CannotRun('a recording needs a place', 'name a file: `--out session.jsonl`');
  const time = input.option('for');
  const limit = time === undefined ? undefined : timeOption('for', time);
  if (input.has('fast') && limit === undefined) {
    throw new CannotRun('--fast has no end of its own', 'say how long: `--for "10 min"`');
  }
  const rig = await chosenRig(input, path, table);
  const clock: Clock = input.has('fast') ? new VirtualClock() : new RealClock();
  const board = new VirtualBoard(table, { clock, rig, seed: Number(input.option('seed') ?? '1') });

  const file = await made(out, input.has('force'));
  const failures: unknown[] = [];
  const head = {
    contract: sourceText(bytes).text,
    name,
    link: 'virtual board, in memory',
    began: input.has('fast') ? undefined : new Date().toISOString(),
  };
  // Virtual time does not wait for the disk; the journal of such a run is written by the way.
  const writer = new SessionWriter(head, file, clock, (error) => failures.push(error));
  const ledger = new Ledger(table);
  let packet: (crossed: CrossedPdu) => void = () => undefined;
  const raw = inMemoryLink(board, {
    latency: us(Math.floor(table.radio.connection.interval.min / 2)),
    client: {
      keep: 16,
      onCrossed: (crossed) => {
        packet(crossed);
      },
    },
  });
  const observer = observeLink(raw, table, clock.now(), (observation) => {
    writer.take(observation);
    ledger.take(observation);
  });
  packet = observer.packet;
  const { link } = observer;
  const central = new Central(link, table, (line) => {
    // What comes of itself is in the recording.
    if (!/^@ (notification|indication)/.test(line)) io.err(`${line}\n`);
  });

  // What the board held before anybody listened.
  for (const { id } of table.values) link.console?.send(`get ${id}`);
  if (link.console !== undefined) keepTime(link.console, clock);
  await begin(central, table);
  await untilEnd(io, { clock, limit, central, type: (line) => link.console?.send(line), link: raw });
  await link.close();
  board.stop();
  const isWhole = await writer.end();
  await file.close();

  ledger.finish();
  const report = reportLedger(ledger);
  io.out(
    input.option('format') === 'json'
      ? `${JSON.stringify({ wrote: out, observations: writer.count, ...report }, undefined, 2)}\n`
      : reportText(report, { columns: io.columns, palette: io.outPalette }),
  );
  if (!isWhole) throw cannotWrite(out, failures[0]);
  io.err(`wrote ${out}: ${writer.count} observations in ${(clock.now() / 1e6).toFixed(1)} s\n`);
  return 0;
};

/** Does what a central does first: connects, agrees on the MTU, reads each value and subscribes to what is told. */
async function begin(central: Central, table: Table): Promise<void> {
  await central.act('connect');
  await central.act(`mtu ${table.radio.connection.mtu}`);
  for (const { id, access, needs } of table.values) {
    if (access.includes('read') && needs.read === 'open') await central.act(`read ${id}`);
    if ((access.includes('notify') || access.includes('indicate')) && needs.subscribe === 'open') {
      await central.act(`subscribe ${id}`);
    }
  }
}

type Session = {
  readonly clock: Clock;
  readonly limit: number | undefined;
  readonly central: Central;
  readonly type: (line: string) => void;
  readonly link: { readonly console: { onLine(listener: (line: string) => void): () => void } | undefined };
};

/**
 * Lets lines in, as `board` does, until the time is over, the person interrupts, or, where no time was said, the input
 * ends.
 */
async function untilEnd(io: Io, { clock, limit, central, type, link }: Session): Promise<void> {
  if (clock instanceof VirtualClock) {
    // In steps, so that an interrupt is heard and the journal gets its turn.
    const stop = { asked: false };
    const quiet = io.onInterrupt(() => {
      stop.asked = true;
    });
    while (!stop.asked && clock.now() < (limit ?? 0)) {
      clock.advance(us(Math.min(1_000_000, (limit ?? 0) - clock.now())));
      await new Promise((resolve) => {
        setImmediate(resolve);
      });
    }
    quiet();
    return;
  }
  const lines = io.lines()[Symbol.asyncIterator]();
  const ended = new Promise<'ended'>((resolve) => {
    io.onInterrupt(() => {
      resolve('ended');
    });
    if (limit !== undefined)
      void clock.sleep(us(limit)).then(() => {
        resolve('ended');
      });
  });
  const stop = link.console?.onLine((line) => {
    const kind = parseConsoleLine(line)?.kind;
    // Answers to what a person typed; the rest is in the recording.
    if (kind === 'value' || kind === 'error' || kind === 'screen' || kind === 'help' || kind === 'client')
      io.err(`${line}\n`);
  });
  for (;;) {
    const next = await Promise.race([lines.next(), ended]);
    if (next === 'ended') break;
    if (next.done === true) {
      if (limit !== undefined) await ended;
      break;
    }
    if (next.value.startsWith('@')) await central.act(next.value.slice(1));
    else type(next.value);
  }
  stop?.();
  await lines.return?.();
}

async function made(path: string, replace: boolean): Promise<JournalFile> {
  try {
    return await journalFile(path, replace);
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') {
      throw new CannotRun(`${path} is there already and stays as it is`, 'name another file, or say --force');
    }
    throw cannotWrite(path, error);
  }
}
