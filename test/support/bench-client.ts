import { concat, fromHex, toHex, u16le, type Bytes } from '../../src/base/bytes.ts';
import { VirtualClock } from '../../src/base/clock.ts';
import { us } from '../../src/base/quantity.ts';
import { openLink, type LinkSecurity } from '../../src/att/link.ts';
import type { ServerConnection } from '../../src/att/server-model.ts';
import { parseConsoleLine, type ConsoleLine } from '../../src/board/console.ts';
import type { Fault, Rig } from '../../src/board/model.ts';
import { VirtualBoard, type BoardConnection } from '../../src/board/virtual-board.ts';
import type { Table } from '../../src/table/model.ts';
import { boardTable, valueOf } from './board-table.ts';

/** A virtual board on a virtual clock with everything it printed. */
export class Bench {
  readonly clock = new VirtualClock();
  readonly board: VirtualBoard;
  readonly table: Table;
  readonly lines: string[] = [];

  constructor(
    options: {
      readonly table?: Table;
      readonly rig?: Rig<unknown>;
      readonly seed?: number;
      readonly fault?: Fault;
      readonly clients?: number;
    } = {},
  ) {
    const { table = boardTable(), ...rest } = options;
    this.board = new VirtualBoard(table, { clock: this.clock, ...rest });
    this.table = this.board.table;
    this.board.onPrint((line) => this.lines.push(line));
    this.board.start();
  }

  /** What was printed since the last call. */
  printed(): readonly string[] {
    return this.lines.splice(0);
  }

  /** The lines that answer a command. */
  type(line: string): readonly string[] {
    this.printed();
    this.board.type(line);
    return this.printed();
  }

  parsed(): readonly ConsoleLine[] {
    return this.printed().map((line) => {
      const parsed = parseConsoleLine(line);
      if (parsed === undefined) throw new Error(`no console line: ${line}`);
      return parsed;
    });
  }

  /** Lets milliseconds pass. */
  pass(ms: number): void {
    this.clock.advance(us(ms * 1000));
  }

  connect(peer = 'first'): BenchClient {
    return new BenchClient(this, peer);
  }

  truth(id: string): string {
    return toHex(this.board.state.server.values[valueOf(this.table, id).index] ?? new Uint8Array(0));
  }
}

/** A client that speaks raw PDUs and keeps what it receives, with times in milliseconds. */
export class BenchClient {
  readonly bench: Bench;
  readonly inbox: { readonly ms: number; readonly hex: string }[] = [];
  readonly connection: BoardConnection;
  isOpen = true;

  constructor(bench: Bench, peer: string) {
    this.bench = bench;
    const connection = bench.board.connect(peer, {
      receive: (pdu) => this.inbox.push({ ms: bench.clock.now() / 1000, hex: toHex(pdu) }),
      closed: () => {
        this.isOpen = false;
      },
    });
    if (connection === undefined) throw new Error('the board does not advertise');
    this.connection = connection;
  }

  received(): readonly string[] {
    return this.inbox.splice(0).map(({ hex }) => hex);
  }

  /** Sends hex digits and gives what came back at once, in hex digits. */
  ask(pdu: string | Bytes): readonly string[] {
    this.received();
    this.connection.send(typeof pdu === 'string' ? (fromHex(pdu) ?? new Uint8Array(0)) : pdu);
    return this.received();
  }

  read(id: string): readonly string[] {
    return this.ask(concat([0x0a], u16le(this.handle(id))));
  }

  write(id: string, hex: string): readonly string[] {
    return this.ask(concat([0x12], u16le(this.handle(id)), fromHex(hex) ?? []));
  }

  /** Writes the CCCD: 0 off, 1 notify, 2 indicate. */
  subscribe(id: string, bits: number): readonly string[] {
    return this.ask(concat([0x12], u16le(valueOf(this.bench.table, id).cccd ?? 0), u16le(bits)));
  }

  encrypt(security: Partial<LinkSecurity> = {}): void {
    this.connection.secure({ ...openLink, encrypted: true, ...security });
  }

  handle(id: string): number {
    return valueOf(this.bench.table, id).handle;
  }

  /** The board's own record of this connection. */
  get record(): ServerConnection | undefined {
    return this.bench.board.state.server.connections.get(this.connection.id);
  }

  /** Values that arrived for one characteristic, with their times in milliseconds. */
  values(id: string): readonly { readonly ms: number; readonly value: string }[] {
    const handle = toHex(u16le(this.handle(id)));
    return this.inbox
      .filter(({ hex }) => (hex.startsWith('1b') || hex.startsWith('1d')) && hex.slice(2, 6) === handle)
      .map(({ ms, hex }) => ({ ms, value: hex.slice(6) }));
  }
}
