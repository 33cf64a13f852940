import type { Bytes } from '../base/bytes.ts';
import type { Cancel } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { ConsolePort } from '../att/link.ts';
import { printConsoleLine } from '../board/console.ts';
import { packTable } from '../emit/packed-table/pack-table.ts';
import { addressOctets, type Address } from '../hci/address.ts';
import type { H4Port } from '../hci/h4-port.ts';
import type { Table } from '../table/model.ts';
import { encodeUtf8 } from '../values/utf8.ts';
import { EarlyOctets, streamConsole, type BytePort } from './console-stream.ts';
import { Engine, type EngineCause, type SetOutcome } from './engine/engine.ts';
import { engineModule } from './engine/module.ts';
import { RigRunner } from './engine/rig-runner.ts';
import type { WasmModule } from './engine/web-assembly.ts';
import type { HostedBoard, HostedBoardOptions, MakeBoard } from './hosted-board.ts';

/** A random static address, Core Vol 6 Part B 1.3.2.1: its top bits are set. */
const boardAddress: Address = 'c0:67:61:74:74:00';

export type EngineBoardOptions = HostedBoardOptions & {
  /** A random static address to go by. */
  readonly address?: Address | undefined;
};

/**
 * The C runtime in WebAssembly as a board that lives on a clock: joined to a controller at one side, with its console at the
 * other, and a rig around it.
 */
export class EngineBoard implements HostedBoard {
  readonly name = 'engine in wasm';
  readonly console: ConsolePort;
  readonly #module: WasmModule;
  readonly #table: Table;
  readonly #packed: Bytes;
  readonly #options: EngineBoardOptions;
  readonly #printed = new EarlyOctets();
  #engine: Engine | undefined;
  #controller: H4Port | undefined;
  #rig: RigRunner | undefined;
  #wake: Cancel | undefined;
  #startedAt = us(0);
  #busy = false;
  #again = false;

  /** @param packed the same table, from `packTable` with its words */
  constructor(module: WasmModule, table: Table, packed: Bytes, options: EngineBoardOptions) {
    this.#module = module;
    this.#table = table;
    this.#packed = packed;
    this.#options = options;
    const port: BytePort = {
      send: (octets) => {
        this.#engine?.type(octets, this.#now());
        this.#work();
      },
      onOctets: (listener) => {
        this.#printed.listen(listener);
      },
      onClose: () => undefined,
    };
    this.console = streamConsole(port);
  }

  start(controller: H4Port): void {
    if (this.#engine !== undefined) return;
    const { clock, rig, seed = 1, address = boardAddress } = this.#options;
    this.#startedAt = clock.now();
    this.#controller = controller;
    const engine = new Engine(this.#module, this.#packed, { address: addressOctets(address) });
    this.#engine = engine;
    controller.onOctets((octets) => {
      this.#engine?.receive(octets, this.#now());
      this.#work();
    });
    this.#work();
    if (rig === undefined) return;
    this.#rig = new RigRunner({
      clock,
      table: this.#table,
      rig,
      seed,
      values: {
        get: (index) => engine.get(index),
        set: (index, value) => {
          engine.set(index, value, 'rig', this.#now());
        },
      },
      stepped: () => {
        this.#work();
      },
      failed: (message) => {
        // The engine knows nothing of its world: who runs it says so in its place.
        const ms = Math.floor(this.#now() / 1000);
        const line = printConsoleLine({ kind: 'note', ms, event: { kind: 'rig-stopped', message } });
        this.#printed.put(encodeUtf8(`${line}\r\n`));
      },
    });
  }

  /** Powers the board down: nothing more happens. */
  stop(): void {
    this.#rig?.stop();
    this.#wake?.();
    this.#wake = undefined;
    this.#engine = undefined;
    this.#controller = undefined;
  }

  /** The octets of a value in force, by its index in the table; none before the start. */
  get(index: number): Bytes {
    return this.#engine?.get(index) ?? new Uint8Array(0);
  }

  /** Changes a value as the board's own program does; `undefined` while it is not powered. */
  set(index: number, value: Bytes, cause: EngineCause = 'rig'): SetOutcome | undefined {
    const outcome = this.#engine?.set(index, value, cause, this.#now());
    this.#work();
    return outcome;
  }

  /** Time since power-up. */
  #now(): Microseconds {
    return us(this.#options.clock.now() - this.#startedAt);
  }

  /** Lets the engine work and carries out what it does; what a listener asks for in the middle of it waits its turn. */
  #work(): void {
    if (this.#busy) {
      this.#again = true;
      return;
    }
    this.#busy = true;
    try {
      this.#poll();
      while (this.#isAsked()) this.#poll();
    } finally {
      this.#busy = false;
    }
  }

  #isAsked(): boolean {
    const asked = this.#again;
    this.#again = false;
    return asked;
  }

  #poll(): void {
    const step = this.#engine?.poll(this.#now());
    if (step === undefined) return;
    this.#wake?.();
    this.#wake = undefined;
    if (step.wakeAt !== undefined) {
      this.#wake = this.#options.clock.schedule(us(this.#startedAt + step.wakeAt), () => {
        this.#work();
      });
    }
    if (step.sent.length > 0) this.#controller?.send(step.sent);
    if (step.printed.length > 0) this.#printed.put(step.printed);
  }
}

export const makeBoard: MakeBoard = async (table, options) => {
  const packed = packTable(table);
  if (!packed.ok) return { ok: false, why: packed.why, remedy: packed.remedy };
  return { ok: true, board: new EngineBoard(await engineModule(), table, packed.bytes, options) };
};
