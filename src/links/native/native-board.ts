import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Bytes } from '../../base/bytes.ts';
import type { Cancel, Clock } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { ConsolePort } from '../../att/link.ts';
import type { H4Port } from '../../hci/h4-port.ts';
import { EarlyOctets, streamConsole } from '../console-stream.ts';
import type { HostedBoard, MakeBoard } from '../hosted-board.ts';
import { compileNative, sanitizerFlags } from './compile.ts';
import { LockstepProcess, type Turn } from './lockstep.ts';

/** What is to be done with the process; each in its turn. */
type Act = (process: LockstepProcess, now: Microseconds) => Turn;

/**
 * The emitted firmware as a process of this machine, on a clock. Its values are moved by its own program, by clients and on its
 * console; the rig of the virtual board does not reach it.
 */
class NativeBoard implements HostedBoard {
  readonly name: string;
  readonly console: ConsolePort;
  readonly #clock: Clock;
  readonly #program: string;
  readonly #folder: string;
  readonly #printed = new EarlyOctets();
  readonly #waiting: Act[] = [];
  #process: LockstepProcess | undefined;
  #controller: H4Port | undefined;
  #wake: Cancel | undefined;
  #startedAt = us(0);
  #busy = false;

  /** @param folder deleted when the board is stopped */
  constructor(name: string, program: string, folder: string, clock: Clock) {
    this.name = name;
    this.#program = program;
    this.#folder = folder;
    this.#clock = clock;
    this.console = streamConsole({
      send: (octets) => {
        this.#do((process, now) => process.type(now, octets));
      },
      onOctets: (listener) => {
        this.#printed.listen(listener);
      },
      onClose: () => undefined,
    });
  }

  start(controller: H4Port): void {
    if (this.#process !== undefined) return;
    this.#startedAt = this.#clock.now();
    this.#controller = controller;
    this.#process = new LockstepProcess(this.#program, this.#folder);
    controller.onOctets((octets) => {
      this.#do((process, now) => process.fromController(now, octets));
    });
    this.#do((process) => process.begin());
  }

  stop(): void {
    this.#wake?.();
    this.#process?.stop();
    this.#process = undefined;
    this.#controller = undefined;
    rmSync(this.#folder, { recursive: true, force: true });
  }

  /** What a listener asks for in the middle of a turn waits for its end. */
  #do(act: Act): void {
    this.#waiting.push(act);
    if (this.#busy) return;
    this.#busy = true;
    try {
      for (let next = this.#waiting.shift(); next !== undefined; next = this.#waiting.shift()) this.#turn(next);
    } finally {
      this.#busy = false;
    }
  }

  #turn(act: Act): void {
    if (this.#process === undefined) return;
    const now = us(this.#clock.now() - this.#startedAt);
    const { sent, printed, wakeIn } = act(this.#process, now);
    this.#wake?.();
    this.#wake =
      wakeIn === undefined
        ? undefined
        : this.#clock.schedule(us(this.#startedAt + now + Math.max(1, wakeIn)), () => {
            this.#do((process, then) => process.tick(then));
          });
    this.#send(sent);
    if (printed.length > 0) this.#printed.put(printed);
  }

  #send(octets: Bytes): void {
    if (octets.length > 0) this.#controller?.send(octets);
  }
}

function maker(name: string, flags: readonly string[]): MakeBoard {
  return (table, { clock }) => {
    const folder = mkdtempSync(join(tmpdir(), 'gattwright-board-'));
    const compiled = compileNative(table, folder, flags);
    if (compiled.ok)
      return Promise.resolve({ ok: true, board: new NativeBoard(name, compiled.program, folder, clock) });
    rmSync(folder, { recursive: true, force: true });
    return Promise.resolve(compiled);
  };
}

export const makeNative: MakeBoard = maker('firmware as a process', []);

export const makeSanitized: MakeBoard = maker('firmware as a process under sanitizers', sanitizerFlags);
