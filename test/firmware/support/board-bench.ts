import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readU16le, toHex, type Bytes } from '../../../src/base/bytes.ts';
import { repository, runTool } from './tool.ts';
import { compileWasm, instantiateWasm, type WasmModule } from './wasm.ts';

/** Sources of the board: everything above ATT. */
export const boardSources = [
  'gw_att.c',
  'gw_att_find.c',
  'gw_att_prepare.c',
  'gw_att_read.c',
  'gw_att_write.c',
  'gw_board.c',
  'gw_check.c',
  'gw_events.c',
  'gw_failsafe.c',
  'gw_links.c',
  'gw_notify.c',
  'gw_policy.c',
  'gw_table.c',
  'gw_table_check.c',
  'gw_text.c',
] as const;

export type BoardSource = (typeof boardSources)[number];

const firmware = join(repository, 'firmware');

/** Three connections, and room for whatever one event can bring. */
const compile = [
  '--target=wasm32',
  '-std=c99',
  '-O1',
  '-nostdlib',
  '-ffreestanding',
  '-fno-builtin',
  '-DGW_CONNECTIONS=3',
  '-DGW_EVENT_OCTETS=16384',
  `-I${join(firmware, 'include')}`,
  `-I${join(firmware, 'src')}`,
];

export function sourcePath(source: BoardSource): string {
  return join(firmware, 'src', source);
}

/** Compiles one file to an object. */
export function compileObject(path: string, object: string): void {
  runTool('clang', [...compile, '-c', path, '-o', object]);
}

/** The objects of the board and its bench, by source; made in `folder`. */
export function compileBoard(folder: string): ReadonlyMap<string, string> {
  const objects = new Map<string, string>();
  for (const source of boardSources) {
    const object = join(folder, `${source}.o`);
    compileObject(sourcePath(source), object);
    objects.set(source, object);
  }
  for (const own of ['bench.c', 'freestanding.c']) {
    const object = join(folder, `${own}.o`);
    compileObject(join(firmware, 'tests', own), object);
    objects.set(own, object);
  }
  return objects;
}

export function linkBench(objects: Iterable<string>, wasm: string): WasmModule {
  runTool('wasm-ld', ['--no-entry', '--strip-all', '-z', 'stack-size=16384', '-o', wasm, ...objects]);
  return compileWasm(readFileSync(wasm));
}

/** What the board did: it sent a PDU, ended a connection, or told its handler of a change. */
export type Logged =
  | { readonly kind: 'sent'; readonly connection: number; readonly pdu: string }
  | { readonly kind: 'ended'; readonly connection: number }
  | { readonly kind: 'told'; readonly index: number; readonly cause: number; readonly value: string };

export type BenchEvent = {
  readonly kind: number;
  readonly cause: number;
  readonly detail: number;
  readonly peer: Bytes;
  readonly index: number;
  readonly ms: number;
  readonly number: number;
  readonly value: Bytes;
};

export type LinkState = {
  readonly client: number;
  readonly mtu: number;
  readonly features: number;
  readonly awareness: number;
  readonly prepared: number;
  readonly queued: number;
  readonly indicating: boolean;
  readonly dead: boolean;
};

type Exports = Readonly<
  Record<
    | 'table_at'
    | 'buffer_at'
    | 'log_at'
    | 'connections'
    | 'context_size'
    | 'memory_size'
    | 'locks_wrong'
    | 'set_time'
    | 'set_room'
    | 'log_length'
    | 'start'
    | 'poll'
    | 'open'
    | 'close'
    | 'receive'
    | 'secure'
    | 'set'
    | 'database_changed'
    | 'kept'
    | 'check'
    | 'last_access'
    | 'subscription'
    | 'link_state'
    | 'advertises'
    | 'next_event',
    (...args: number[]) => number
  >
>;

/** The board in C on the bench: above ATT, in WebAssembly, at the test's time. */
export class BoardBench {
  readonly #call: Exports;
  readonly #octets: Uint8Array;

  constructor(module: WasmModule) {
    const { functions, memory } = instantiateWasm(module);
    this.#call = functions;
    this.#octets = new Uint8Array(memory.buffer);
  }

  get connections(): number {
    return this.#call.connections();
  }

  /** Octets of the caller's memory that a table needs; 0 for octets that are no sound table. */
  memoryFor(table: Bytes): number {
    this.#octets.set(table, this.#call.table_at());
    return this.#call.memory_size(table.length) >>> 0;
  }

  /** @returns `enum gw_status` */
  start(table: Bytes, memory?: number): number {
    const needed = this.memoryFor(table);
    return this.#call.start(table.length, memory ?? needed);
  }

  setTime(micros: number): void {
    this.#call.set_time(micros % 2 ** 32);
  }

  /** How many notifications and indications the port takes before it says no; `Infinity`: all. */
  setRoom(sends: number): void {
    this.#call.set_room(sends === Infinity ? 0xffff_ffff : sends);
  }

  /** @returns microseconds to the next wake, `undefined` for none */
  poll(): number | undefined {
    const wait = this.#call.poll() >>> 0;
    return wait === 0xffff_ffff ? undefined : wait;
  }

  open(connection: number, address: number): void {
    this.#call.open(connection, address);
  }

  close(connection: number, end: 'lost' | 'terminated'): void {
    this.#call.close(connection, end === 'lost' ? 0 : 1);
  }

  receive(connection: number, pdu: Bytes): void {
    this.#put(pdu);
    this.#call.receive(connection, pdu.length);
  }

  secure(connection: number, level: number, keySize: number): void {
    this.#call.secure(connection, level, keySize);
  }

  set(index: number, value: Bytes, cause = 3): number {
    this.#put(value);
    return this.#call.set(index, value.length, cause);
  }

  check(number: number, value: Bytes): number {
    this.#put(value);
    return this.#call.check(number, value.length);
  }

  databaseChanged(start: number, end: number): void {
    this.#call.database_changed(start, end);
  }

  kept(number: number): string {
    return toHex(this.#take(0, this.#call.kept(number)));
  }

  lastAccess(index: number): { readonly how: number; readonly ms: number } {
    const how = this.#call.last_access(index);
    return { how, ms: this.#u32(this.#take(0, 4), 0) };
  }

  subscription(connection: number, cccd: number): number {
    return this.#call.subscription(connection, cccd);
  }

  link(connection: number): LinkState {
    this.#call.link_state(connection);
    const state = this.#take(0, 14);
    return {
      client: this.#u32(state, 0),
      mtu: readU16le(state, 4) ?? 0,
      features: state[6] ?? 0,
      awareness: state[7] ?? 0,
      prepared: readU16le(state, 8) ?? 0,
      queued: readU16le(state, 10) ?? 0,
      indicating: state[12] === 1,
      dead: state[13] === 1,
    };
  }

  get advertises(): boolean {
    return this.#call.advertises() === 1;
  }

  /** Times that the board locked or unlocked out of turn. */
  get wrongLocks(): number {
    return this.#call.locks_wrong();
  }

  /** All that was done since the last call. */
  takeLog(): readonly Logged[] {
    const length = this.#call.log_length();
    const at = this.#call.log_at();
    const octets = this.#octets.slice(at, at + length);
    const log: Logged[] = [];
    for (let i = 0; i < length;) {
      const size = readU16le(octets, i + 2) ?? 0;
      const connection = octets[i + 1] ?? 0;
      const own = octets.subarray(i + 4, i + 4 + size);
      if (octets[i] === 0) log.push({ kind: 'sent', connection, pdu: toHex(own) });
      else if (octets[i] === 1) log.push({ kind: 'ended', connection });
      else {
        const [index = 0, cause = 0] = [readU16le(own, 0), readU16le(own, 2)];
        log.push({ kind: 'told', index, cause, value: toHex(own.subarray(4)) });
      }
      i += 4 + size;
    }
    return log;
  }

  takeEvents(): readonly BenchEvent[] {
    const events: BenchEvent[] = [];
    while (this.#call.next_event() === 1) {
      const head = this.#take(0, 22);
      events.push({
        kind: head[0] ?? 0,
        cause: head[1] ?? 0,
        detail: head[2] ?? 0,
        peer: head.slice(3, 10),
        index: readU16le(head, 10) ?? 0,
        ms: this.#u32(head, 14),
        number: this.#u32(head, 18),
        value: this.#take(22, readU16le(head, 12) ?? 0),
      });
    }
    return events;
  }

  #put(octets: Bytes): void {
    this.#octets.set(octets, this.#call.buffer_at());
  }

  #take(offset: number, length: number): Bytes {
    const at = this.#call.buffer_at() + offset;
    return this.#octets.slice(at, at + length);
  }

  #u32(octets: Bytes, at: number): number {
    return (readU16le(octets, at) ?? 0) + 0x1_0000 * (readU16le(octets, at + 2) ?? 0);
  }
}
