import { bug } from '../../base/bug.ts';
import { concat, noBytes, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import { webAssembly, type WasmModule } from './web-assembly.ts';

/** What firmware/ports/wasm/gw_engine.h exports; addresses are places in `memory`. */
type Exports = {
  readonly memory: { readonly buffer: ArrayBuffer };
  readonly gw_engine_room: (octets: number) => number;
  readonly gw_engine_start: (table: number, size: number, address: number, now: number) => number;
  readonly gw_engine_to_controller: () => number;
  readonly gw_engine_to_person: () => number;
  readonly gw_engine_receive: (octets: number, length: number, now: number) => void;
  readonly gw_engine_type: (octets: number, length: number, now: number) => number;
  readonly gw_engine_poll: (now: number) => number;
  readonly gw_engine_set: (index: number, octets: number, length: number, cause: number, now: number) => number;
  readonly gw_engine_get: (index: number, octets: number, room: number) => number;
};

/** Who changes a value: enum gw_cause of firmware/include/gw_types.h. */
const causes = { start: 0, rig: 1, air: 2, console: 3, failsafe: 4 } as const;

export type EngineCause = keyof typeof causes;

/** What became of setting a value: enum gw_status. */
const outcomes = {
  0: 'done',
  [-3]: 'no-such-value',
  [-4]: 'wrong-length',
  [-5]: 'wrong-encoding',
  [-6]: 'out-of-range',
} as const;

export type SetOutcome = (typeof outcomes)[keyof typeof outcomes];

export type EngineOptions = {
  /** Six octets, least significant first, that become a random static address; default: the controller gives one. */
  readonly address?: Bytes | undefined;
  /** What the clock shows at power-up; default 0. */
  readonly at?: Microseconds;
};

/** What the engine did in one call of `poll`. */
export type EngineStep = {
  /** H4 octets for the controller: whole packets. */
  readonly sent: Bytes;
  /** Octets of the console. */
  readonly printed: Bytes;
  /** When it wants to be polled next; `undefined`: not before something happens. */
  readonly wakeAt: Microseconds | undefined;
};

/** The greatest number of octets that go in at once. */
const inletRoom = 4096;

const never = 0xffff_ffff;

/**
 * The C runtime as one board: the same board, host and console that run on a chip, compiled to WebAssembly. It knows no
 * time: each call says what the clock shows, and `poll` says when it wants the next one. Pure but for its memory: the same
 * calls give the same octets, in Node and in a browser.
 *
 * After each of `receive`, `type` and `set` comes a `poll`.
 */
export class Engine {
  readonly #exports: Exports;
  readonly #inlet: number;
  readonly #toController: number;
  readonly #toPerson: number;
  /** Typed octets that the console has not taken yet. */
  #typed: Bytes = noBytes;

  /**
   * @param module see `engineModule`
   * @param packedTable as `packTable` gives it
   * @throws Error for octets that are no sound table, or a table that wants more memory than there is: both are ours
   */
  constructor(module: WasmModule, packedTable: Bytes, { address, at = us(0) }: EngineOptions = {}) {
    this.#exports = new webAssembly.Instance(module).exports as unknown as Exports;
    this.#inlet = this.#exports.gw_engine_room(inletRoom);
    const table = this.#copyIn(packedTable);
    const own = address === undefined ? 0 : this.#copyIn(address);
    const status = this.#exports.gw_engine_start(table, packedTable.length, own, micros(at));
    bug(status === 0, `the engine does not start: status ${status}`);
    this.#toController = this.#exports.gw_engine_to_controller();
    this.#toPerson = this.#exports.gw_engine_to_person();
  }

  /** Octets from the controller, cut anywhere. */
  receive(octets: Bytes, at: Microseconds): void {
    for (const part of parts(octets)) this.#exports.gw_engine_receive(this.#fill(part), part.length, micros(at));
  }

  /** Octets typed on the console. What it cannot take now it takes in `poll`. */
  type(octets: Bytes, at: Microseconds): void {
    this.#typed = concat(this.#typed, octets);
    this.#offer(at);
  }

  /** Lets the board do what is due. */
  poll(at: Microseconds): EngineStep {
    const sent: Bytes[] = [];
    const printed: Bytes[] = [];
    let wake: number;
    do {
      this.#offer(at);
      // A module hands out 32 bits as signed.
      wake = this.#exports.gw_engine_poll(micros(at)) >>> 0;
      sent.push(this.#drain(this.#toController));
      printed.push(this.#drain(this.#toPerson));
      // An outlet was full: there is more.
    } while (wake === 0 && ((sent.at(-1)?.length ?? 0) > 0 || (printed.at(-1)?.length ?? 0) > 0));
    return { sent: concat(...sent), printed: concat(...printed), wakeAt: wake === never ? undefined : us(at + wake) };
  }

  /** Changes a value as the board's own program does; checked as a client's write is. */
  set(index: number, value: Bytes, cause: EngineCause, at: Microseconds): SetOutcome {
    const octets = this.#fill(value.length > inletRoom ? noBytes : value);
    const status = this.#exports.gw_engine_set(index, octets, value.length, causes[cause], micros(at));
    const outcome = (outcomes as Readonly<Record<number, SetOutcome>>)[status];
    bug(outcome !== undefined, `the engine answers a set with status ${status}`);
    return outcome;
  }

  /** The octets of a value in force; none for an index that there is not. */
  get(index: number): Bytes {
    const length = this.#exports.gw_engine_get(index, this.#inlet, inletRoom);
    return new Uint8Array(this.#exports.memory.buffer, this.#inlet, length).slice();
  }

  #offer(at: Microseconds): void {
    while (this.#typed.length > 0) {
      const part = this.#typed.subarray(0, inletRoom);
      const taken = this.#exports.gw_engine_type(this.#fill(part), part.length, micros(at));
      this.#typed = this.#typed.slice(taken);
      if (taken < part.length) return;
    }
  }

  #copyIn(octets: Bytes): number {
    const room = this.#exports.gw_engine_room(octets.length);
    bug(room !== 0, `the engine has no memory for ${octets.length} octets`);
    new Uint8Array(this.#exports.memory.buffer).set(octets, room);
    return room;
  }

  #fill(octets: Bytes): number {
    new Uint8Array(this.#exports.memory.buffer).set(octets, this.#inlet);
    return this.#inlet;
  }

  /** An outlet is a length of four octets with the octets behind it. */
  #drain(outlet: number): Bytes {
    const view = new DataView(this.#exports.memory.buffer);
    const length = view.getUint32(outlet, true);
    if (length === 0) return noBytes;
    view.setUint32(outlet, 0, true);
    return new Uint8Array(this.#exports.memory.buffer, outlet + 4, length).slice();
  }
}

/** The clock of a port: microseconds modulo 2^32. */
function micros(at: Microseconds): number {
  return at % 0x1_0000_0000;
}

function* parts(octets: Bytes): Generator<Bytes> {
  for (let at = 0; at < octets.length; at += inletRoom) yield octets.subarray(at, at + inletRoom);
}
