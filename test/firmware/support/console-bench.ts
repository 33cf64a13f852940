import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { us, type Microseconds } from '../../../src/base/quantity.ts';
import { boardReducer } from '../../../src/board/board-reducer.ts';
import type { BoardEvent, BoardStep } from '../../../src/board/model.ts';
import { packTable } from '../../../src/emit/packed-table/pack-table.ts';
import type { Table } from '../../../src/table/model.ts';
import { repository, runTool, strictFlags } from './tool.ts';

/** What happens to a board, told to the one in TypeScript and to the one in C alike. Connections are 0 and 1. */
export type Act = { readonly at: number } & (
  | { readonly kind: 'wait' }
  | { readonly kind: 'typed'; readonly line: string }
  | { readonly kind: 'connect'; readonly connection: number }
  | { readonly kind: 'disconnect'; readonly connection: number; readonly lost: boolean }
  | { readonly kind: 'pdu'; readonly connection: number; readonly pdu: readonly number[] }
);

const firmware = join(repository, 'firmware');

/** Sources above ATT and the console: all but the host's. */
const sources = readdirSync(join(firmware, 'src')).filter(
  (name) => name.endsWith('.c') && !/^gw_(?:host|hci|acl|h4|l2cap|signalling)/.test(name),
);

/** Builds the board with its console as a process, with sanitizers. */
export function buildConsoleBench(folder: string): string {
  const binary = join(folder, 'console-bench');
  runTool('clang', [
    ...strictFlags,
    '-O1',
    '-g',
    '-fsanitize=address,undefined',
    '-fno-sanitize-recover=all',
    '-DGW_CONNECTIONS=2',
    '-DGW_EVENT_OCTETS=4096',
    `-I${join(firmware, 'include')}`,
    `-I${join(firmware, 'src')}`,
    join(firmware, 'tests', 'console_main.c'),
    ...sources.map((name) => join(firmware, 'src', name)),
    '-o',
    binary,
  ]);
  return binary;
}

export function writeTable(folder: string, name: string, table: Table): string {
  const packed = packTable(table);
  if (!packed.ok) throw new Error(packed.why);
  const path = join(folder, `${name}.table`);
  writeFileSync(path, packed.bytes);
  return path;
}

/** A record for the process: docs at firmware/tests/console_main.c. */
export function record(letter: string, at: number, octets: Uint8Array): Buffer {
  const head = Buffer.alloc(7);
  head.write(letter, 'latin1');
  head.writeUInt32LE(at, 1);
  head.writeUInt16LE(octets.length, 5);
  return Buffer.concat([head, octets]);
}

function recordOf(act: Act): Buffer {
  switch (act.kind) {
    case 'wait':
      return record('t', act.at, Buffer.alloc(0));
    case 'typed':
      return record('c', act.at, Buffer.from(`${act.line}\n`));
    case 'connect':
      return record('o', act.at, Buffer.from([act.connection, ...addressOf(act.connection)]));
    case 'disconnect':
      return record('x', act.at, Buffer.from([act.connection, act.lost ? 0 : 1]));
    case 'pdu':
      return record('a', act.at, Buffer.from([act.connection, ...act.pdu]));
  }
}

function addressOf(connection: number): number[] {
  return [connection, 0x22, 0x33, 0x44, 0x55, 0xc6];
}

/** The lines that the process prints. */
export function linesInC(binary: string, table: string, acts: readonly Act[]): string[] {
  const printed = runTool(binary, [table], { input: Buffer.concat(acts.map(recordOf)) }).toString();
  return printed.split('\r\n').slice(0, -1);
}

/** The lines that the board in TypeScript prints for the same acts. */
export function linesInTypeScript(table: Table, acts: readonly Act[]): string[] {
  const reducer = boardReducer(table, { rig: undefined, seed: 1, clients: 2 });
  const lines: string[] = [];
  const open = new Map<number, number>();
  let clients = 0;
  let current: BoardStep = reducer.start(us(0));
  const take = (step: BoardStep, at: Microseconds): void => {
    current = step;
    const ended: number[] = [];
    for (const effect of step.effects) {
      if (effect.kind === 'print') lines.push(effect.line);
      if (effect.kind === 'close') ended.push(effect.connection);
    }
    for (const client of ended) {
      for (const [connection, number] of open) if (number === client) open.delete(connection);
      happen({ kind: 'disconnected', connection: client, how: 'terminated' }, at);
    }
  };
  const happen = (event: BoardEvent, at: Microseconds): void => {
    take(reducer.step(current.state, event, at), at);
  };
  take(current, us(0));
  for (const act of acts) {
    for (let wake = current.wakeAt; wake !== undefined && wake <= act.at; wake = current.wakeAt) {
      happen({ kind: 'time' }, wake);
    }
    const at = us(act.at);
    switch (act.kind) {
      case 'wait':
        happen({ kind: 'time' }, at);
        break;
      case 'typed':
        happen({ kind: 'typed', line: act.line }, at);
        break;
      case 'connect': {
        if (open.has(act.connection)) break;
        const address = addressOf(act.connection).reverse();
        const peer = address.map((octet) => octet.toString(16).toUpperCase().padStart(2, '0')).join(':');
        clients += 1;
        open.set(act.connection, clients);
        happen({ kind: 'connected', connection: clients, peer }, at);
        break;
      }
      case 'disconnect': {
        const client = open.get(act.connection);
        open.delete(act.connection);
        if (client !== undefined) {
          happen({ kind: 'disconnected', connection: client, how: act.lost ? 'lost' : 'terminated' }, at);
        }
        break;
      }
      case 'pdu': {
        const client = open.get(act.connection);
        if (client !== undefined) {
          happen({ kind: 'received', connection: client, pdu: Uint8Array.from(act.pdu) }, at);
        }
        break;
      }
    }
  }
  return lines;
}

/**
 * The line without what a small board may say otherwise: words of a refused value, and the physical form of a struct,
 * an array, octets and floats, and of numbers that would have to be rounded.
 */
export function comparable(line: string, hidden: ReadonlySet<string>): string {
  // Without all the physical forms a board says `bad-argument` where another knows that no form is meant.
  if (/^error set (?:type|bad-argument) (?!behind =|a backslash)/.test(line)) return 'error set type or bad-argument';
  const refused = /^(error set (?:range|encoding)) /.exec(line);
  if (refused?.[1] !== undefined) return refused[1];
  const [word, ms, id, hex, text] = line.split(' ');
  const rounded = text?.startsWith('≈') === true;
  return word === 'value' && id !== undefined && (hidden.has(id) || rounded) ? [word, ms, id, hex].join(' ') : line;
}

/** Values whose physical form a board in C leaves out. */
export function hiddenIds(table: Table): ReadonlySet<string> {
  return new Set(
    table.values
      .filter(
        ({ type }) =>
          ['struct', 'array', 'bytes', 'float'].includes(type.kind) ||
          (type.kind === 'text' && type.encoding === 'utf16') ||
          (type.kind === 'integer' && type.bits > 64),
      )
      .map(({ id }) => id),
  );
}
