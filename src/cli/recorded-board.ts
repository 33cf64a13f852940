import { us } from '../base/quantity.ts';
import { Gate, type Clock } from '../base/clock.ts';
import { toHex } from '../base/bytes.ts';
import type { ConsolePort, CrossedPdu } from '../att/link.ts';
import { parseConsoleLine } from '../board/console.ts';
import type { Rig } from '../board/model.ts';
import { VirtualBoard } from '../board/virtual-board.ts';
import type { Observation } from '../ledger/observation.ts';
import { observeConsole, observeLink } from '../ledger/observe.ts';
import { serialConsole } from '../links/console-serial.ts';
import { inMemoryLink } from '../links/in-memory.ts';
import type { Table } from '../table/model.ts';
import { Central } from './central.ts';
import { must } from './open-contract.ts';

/** A board that is recorded, with whoever touches it. */
export type RecordedBoard = {
  readonly console: ConsolePort;
  /** Who reads, writes and subscribes; `undefined` where only the console is reached. */
  readonly central: Central | undefined;
  /** Opens when the board has gone. */
  readonly gone: Gate;
  close(): Promise<void>;
};

/** The virtual board with a central beside it, half a connection interval away. */
export function virtualRecorded(
  table: Table,
  options: { readonly clock: Clock; readonly rig: Rig<unknown>; readonly seed: number },
  onObserved: (observation: Observation) => void,
  tell: (line: string) => void,
): RecordedBoard {
  const { clock } = options;
  const board = new VirtualBoard(table, options);
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
  const observer = observeLink(raw, table, clock.now(), onObserved);
  packet = observer.packet;
  const { link } = observer;
  const central = new Central(link, table, (line) => {
    // What comes of itself is in the recording.
    if (!/^@ (notification|indication)/.test(line)) tell(line);
  });
  const silent: ConsolePort = { send: () => undefined, onLine: () => () => undefined };
  return {
    console: link.console ?? silent,
    central,
    gone: new Gate(),
    close: async () => {
      await link.close();
      board.stop();
    },
  };
}

/**
 * A real board by its console alone: its truth, without the air.
 *
 * @throws CannotRun when the port cannot be opened
 */
export async function serialRecorded(
  table: Table,
  options: { readonly clock: Clock; readonly port: string; readonly baud: number },
  onObserved: (observation: Observation) => void,
  tell: (line: string) => void,
): Promise<RecordedBoard> {
  const { clock, port, baud } = options;
  const serial = must(await serialConsole(port, { baud }));
  const start = clock.now();
  let last = us(0);
  const now = (): typeof last => (last = us(Math.max(last, clock.now() - start)));
  const gone = new Gate();
  serial.onEnd(() => {
    gone.open();
  });
  const expected = toHex(table.databaseHash.specification);
  serial.onLine((text) => {
    const line = parseConsoleLine(text);
    const hash =
      line?.kind === 'hash'
        ? line.specification
        : line?.kind === 'note' && line.event.kind === 'start'
          ? line.event.hash
          : undefined;
    if (hash !== undefined && toHex(hash) !== expected) {
      tell(
        `the board has another attribute table than the contract: its hash is ${toHex(hash)} instead of ${expected}`,
      );
    }
  });
  const console = observeConsole(serial, now, onObserved);
  console.send('hash');
  return { console, central: undefined, gone, close: () => serial.close() };
}
