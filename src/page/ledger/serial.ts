import { requestWebSerialConsole, type WebSerial, type WebSerialConsole } from '../../links/console-web-serial.ts';
import { board, restartBoard } from '../stores/board.ts';
import { onNews, tell } from '../stores/port.ts';
import { say } from '../stores/words.ts';

/** Usual speeds of a board's UART, symbols a second. */
export const bauds = [9600, 57_600, 115_200, 230_400, 460_800, 921_600, 1_000_000] as const;

let console: WebSerialConsole | undefined;
/** Lines since the last message to the worker: a flood is told in bunches. */
let lines: string[] = [];

/** Whether this browser can reach serial ports. */
export function hasSerial(): boolean {
  return serialOf() !== undefined;
}

/** Lets the user choose a serial port, and puts the board behind it in place of the virtual one. */
export async function listenToSerial(baud: number): Promise<void> {
  const serial = serialOf();
  if (serial === undefined) return;
  const opened = await requestWebSerialConsole(serial, baud);
  if (!opened.ok) {
    const { failure } = opened;
    if (failure.kind === 'not-opened') {
      say('refused', 'The serial port could not be opened. Close what else uses it, and try again.', failure.about);
    }
    return;
  }
  await console?.close();
  const mine = opened.value;
  console = mine;
  mine.onLine(take);
  mine.onEnd(() => {
    if (console !== mine) return;
    console = undefined;
    say('caution', 'The board’s serial port has gone. What it told so far stays in the ledger and its recording.');
  });
  restartBoard({ made: 'serial', faults: [] });
}

function take(line: string): void {
  lines.push(line);
  if (lines.length > 1) return;
  queueMicrotask(() => {
    tell('bench', { kind: 'console-lines', lines });
    lines = [];
  });
}

onNews('console-send', ({ line }) => {
  console?.send(line);
});

// Another board has taken its place.
onNews('board-started', ({ made }) => {
  if (made === 'serial' || console === undefined) return;
  const old = console;
  console = undefined;
  void old.close();
});

/** What it is that runs: for who wants to go back. */
export function isSerial(): boolean {
  return board.value?.made === 'serial';
}

function serialOf(): WebSerial | undefined {
  return (navigator as { readonly serial?: WebSerial }).serial;
}
