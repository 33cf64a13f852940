import { VirtualClock, type Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import { parseConsoleLine } from '../../board/console.ts';
import type { Rig } from '../../board/model.ts';
import { keepTime } from '../../ledger/keep-time.ts';
import type { Observation } from '../../ledger/observation.ts';
import { RealClock } from '../../links/real-clock.ts';
import { sourceText } from '../../contract/source.ts';
import type { Table } from '../../table/model.ts';
import type { Central } from '../central.ts';
import { CannotRun } from '../cannot-run.ts';
import { chosenRig } from '../chosen-rig.ts';
import { required, type Input, type Run } from '../command.ts';
import type { Io } from '../io.ts';
import { openCompiled } from '../open-contract.ts';
import { serialRecorded, virtualRecorded, type RecordedBoard } from '../recorded-board.ts';
import { beginRecording, type Recording } from '../recording.ts';
import { timeOption } from '../time-option.ts';

const usualBaud = '115200';

export const run: Run = async (input, io) => {
  const compiled = await openCompiled(required(input, 'FILE'), io);
  if (compiled === undefined) return 2;
  const { table, path, name, bytes } = compiled;
  const out = input.option('out');
  if (out === undefined) throw new CannotRun('a recording needs a place', 'name a file: `--out session.jsonl`');
  const time = input.option('for');
  const limit = time === undefined ? undefined : timeOption('for', time);
  const port = input.option('console');
  const fast = input.has('fast');
  if (fast && limit === undefined) {
    throw new CannotRun('--fast has no end of its own', 'say how long: `--for "10 min"`');
  }
  if (fast && port !== undefined) throw new CannotRun('a real board has its own time', 'leave --fast out');
  const rig = await chosenRig(input, path, table);
  // A virtual board does not suffer from a machine that is busy with other things; a real one has its own time.
  const clock: Clock = fast ? new VirtualClock() : new RealClock({ catchUp: port === undefined });
  const tell = (line: string): void => {
    io.err(`${line}\n`);
  };

  // What is seen before the file is there waits for it.
  const early: Observation[] = [];
  let recording: Recording | undefined;
  const observe = (observation: Observation): void => {
    if (recording === undefined) early.push(observation);
    else recording.take(observation);
  };
  const begun = (): Promise<Recording> =>
    beginRecording(
      { path: out, replace: input.has('force') },
      {
        contract: sourceText(bytes).text,
        name,
        link: port === undefined ? 'virtual board, in memory' : `console on ${port}`,
        began: fast ? undefined : new Date().toISOString(),
      },
      table,
      clock,
    );
  const board = await opened(input, table, { clock, rig, port }, observe, tell);
  try {
    recording = await begun();
  } catch (error) {
    await board.close();
    throw error;
  }
  for (const observation of early) recording.take(observation);

  // What the board held before anybody listened.
  for (const { id } of table.values) board.console.send(`get ${id}`);
  const quiet = keepTime(board.console, clock);
  if (board.central !== undefined) await begin(board.central, table);
  await untilEnd(io, clock, limit, board);
  quiet();
  await board.close();
  await recording.finish(io, input.option('format'));
  return 0;
};

type Wanted = { readonly clock: Clock; readonly rig: Rig<unknown>; readonly port: string | undefined };

async function opened(
  input: Input,
  table: Table,
  { clock, rig, port }: Wanted,
  observe: (observation: Observation) => void,
  tell: (line: string) => void,
): Promise<RecordedBoard> {
  if (port === undefined) {
    return virtualRecorded(table, { clock, rig, seed: Number(input.option('seed') ?? '1') }, observe, tell);
  }
  const baud = Number(input.option('baud') ?? usualBaud);
  return serialRecorded(table, { clock, port, baud }, observe, tell);
}

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

/**
 * Lets lines in, as `board` does, until the time is over, the person interrupts, the board has gone, or, where no time was
 * said, the input ends.
 */
async function untilEnd(io: Io, clock: Clock, limit: number | undefined, board: RecordedBoard): Promise<void> {
  if (clock instanceof VirtualClock) return passTime(io, clock, limit ?? 0);
  const { console, central, gone } = board;
  const lines = io.lines()[Symbol.asyncIterator]();
  let cancel = (): void => undefined;
  const ended = new Promise<'ended'>((resolve) => {
    const end = (): void => {
      resolve('ended');
    };
    io.onInterrupt(end);
    gone.whenOpen(() => {
      io.err('the board has gone\n');
      end();
    });
    if (limit !== undefined) cancel = clock.schedule(us(clock.now() + limit), end);
  });
  const stop = console.onLine((line) => {
    const kind = parseConsoleLine(line)?.kind;
    // Answers to what a person typed; the rest is in the recording.
    if (kind === 'value' || kind === 'error' || kind === 'screen' || kind === 'help' || kind === 'client') {
      io.err(`${line}\n`);
    }
  });
  for (;;) {
    const next = await Promise.race([lines.next(), ended]);
    if (next === 'ended') break;
    if (next.done === true) {
      if (limit !== undefined) await ended;
      break;
    }
    if (!next.value.startsWith('@')) console.send(next.value);
    else if (central !== undefined) await central.act(next.value.slice(1));
    else io.err('@ there is no central: only the console is recorded\n');
  }
  cancel();
  stop();
  await lines.return?.();
}

/** In steps, so that an interrupt is heard and the journal gets its turn. */
async function passTime(io: Io, clock: VirtualClock, end: number): Promise<void> {
  const stop = { asked: false };
  const quiet = io.onInterrupt(() => {
    stop.asked = true;
  });
  while (!stop.asked && clock.now() < end) {
    clock.advance(us(Math.min(1_000_000, end - clock.now())));
    await new Promise((resolve) => {
      setImmediate(resolve);
    });
  }
  quiet();
}
