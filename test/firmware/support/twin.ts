import { toHex, type Bytes } from '../../../src/base/bytes.ts';
import { us, type Microseconds } from '../../../src/base/quantity.ts';
import { openLink, type LinkSecurity } from '../../../src/att/link.ts';
import { attServer, defaultServerOptions } from '../../../src/att/server.ts';
import type { ServerConnection } from '../../../src/att/server-model.ts';
import { boardReducer } from '../../../src/board/board-reducer.ts';
import { printConsoleLine, type ConsoleLine, type SecurityWord } from '../../../src/board/console.ts';
import type { BoardEffect, BoardEvent, BoardReducer, BoardState, BoardStep, Cause } from '../../../src/board/model.ts';
import { boardMs, subscriptionWord } from '../../../src/board/view.ts';
import { cccdRows } from '../../../src/emit/packed-table/cccds.ts';
import { keptOf, type Kept } from '../../../src/emit/packed-table/definitions.ts';
import { packTable } from '../../../src/emit/packed-table/pack-table.ts';
import type { Table } from '../../../src/table/model.ts';
import { BoardBench, type BenchEvent } from './board-bench.ts';
import type { WasmModule } from './wasm.ts';

/** What may happen to a board, with connections by their place. */
export type Happening =
  | { readonly kind: 'open'; readonly place: number }
  | { readonly kind: 'close'; readonly place: number; readonly how: 'lost' | 'terminated' }
  | { readonly kind: 'receive'; readonly place: number; readonly pdu: Bytes }
  | { readonly kind: 'secure'; readonly place: number; readonly level: number; readonly keySize: number }
  | { readonly kind: 'set'; readonly index: number; readonly value: Bytes }
  | { readonly kind: 'database-changed'; readonly start: number; readonly end: number }
  | { readonly kind: 'pass'; readonly time: number }
  /** Time goes by and nobody polls: the program was busy. */
  | { readonly kind: 'oversleep'; readonly time: number };

/** A chip's clock is read at least so often. */
const longestSleep = 3_600_000_000;

/** `enum gw_status` of what a console calls `length`, `encoding` and `range`. */
const statusWords: Readonly<Record<number, string>> = { 0: 'done', [-4]: 'length', [-5]: 'encoding', [-6]: 'range' };

/**
 * The same board twice: the reducer in TypeScript and the one in C. Everything happens to both; whatever one does
 * and the other does not is told by a sentence.
 */
export class Twin {
  readonly table: Table;
  readonly bench: BoardBench;
  /** Client number by place; `undefined` for a place that is free. */
  readonly places: (number | undefined)[];
  readonly #reducer: BoardReducer;
  readonly #known: Known;
  #state: BoardState;
  #clients = 0;
  #at: Microseconds = us(0);
  #wake: Microseconds | undefined;
  #differences: string[] = [];

  constructor(module: WasmModule, table: Table) {
    this.#known = known(table);
    this.table = table;
    this.bench = new BoardBench(module);
    this.places = Array.from({ length: this.bench.connections }, () => undefined);
    this.#reducer = boardReducer(table, { rig: undefined, seed: 1, clients: this.bench.connections });
    this.bench.setTime(0);
    const status = this.bench.start(this.#known.packed);
    if (status !== 0) this.#differ(`the C board does not start: status ${status}`);
    const step = this.#reducer.start(us(0));
    this.#state = step.state;
    this.#compare(step.effects, step.wakeAt);
  }

  get at(): Microseconds {
    return this.#at;
  }

  get state(): BoardState {
    return this.#state;
  }

  /** How the two differ so far, empty when they do not. */
  get differences(): readonly string[] {
    return this.#differences;
  }

  happen(what: Happening): void {
    switch (what.kind) {
      case 'pass':
        this.#pass(what.time);
        break;
      case 'oversleep':
        this.#at = us(this.#at + what.time);
        this.#step({ kind: 'time' }, () => undefined);
        break;
      case 'open':
        this.#open(what.place);
        break;
      case 'close':
        this.#on(what.place, (connection) => {
          this.places[what.place] = undefined;
          this.#step({ kind: 'disconnected', connection, how: what.how }, () => {
            this.bench.close(what.place, what.how);
          });
        });
        break;
      case 'receive':
        this.#on(what.place, (connection) => {
          this.#step({ kind: 'received', connection, pdu: what.pdu }, () => {
            this.bench.receive(what.place, what.pdu);
          });
        });
        break;
      case 'secure':
        this.#on(what.place, (connection) => {
          const security = linkSecurity(what.level, what.keySize);
          this.#step({ kind: 'security', connection, security }, () => {
            this.bench.secure(what.place, what.level, what.keySize);
          });
        });
        break;
      case 'set':
        this.#set(what.index, what.value);
        break;
      case 'database-changed':
        this.#databaseChanged(what.start, what.end);
        break;
    }
  }

  #on(place: number, act: (connection: number) => void): void {
    const connection = this.places[place];
    if (connection !== undefined) act(connection);
  }

  #open(place: number): void {
    if (this.places[place] !== undefined) return;
    const connection = ++this.#clients;
    this.places[place] = connection;
    this.#step({ kind: 'connected', connection, peer: peerOf(connection) }, () => {
      this.bench.open(place, connection);
    });
  }

  #set(index: number, value: Bytes): void {
    const definition = this.table.values[index];
    if (definition === undefined) return;
    let status = 0;
    const effects = this.#step({ kind: 'typed', line: `set ${definition.id} =${toHex(value)}` }, () => {
      status = this.bench.set(index, value);
    });
    const answer = effects.flatMap((effect) => (effect.kind === 'print' && isAnswer(effect.line) ? [effect.line] : []));
    // A line too long for the console is longer than any value.
    const reason = answer[0]?.split(' ')[2];
    const expected = answer[0]?.startsWith('error ') !== true ? 'done' : reason === 'line-too-long' ? 'length' : reason;
    if (statusWords[status] !== expected) {
      this.#differ(
        `set ${definition.id} =${toHex(value)}: C says status ${status}, TypeScript ${expected ?? 'nothing'}`,
      );
    }
  }

  /** The board has no such event: the server is told, then time comes to the board. */
  #databaseChanged(start: number, end: number): void {
    const options = defaultServerOptions(this.table);
    const event = { kind: 'database-changed', start, end } as const;
    const server = attServer(this.table, options, this.#state.server, event, this.#at);
    this.#state = { ...this.#state, server: server.state };
    const told = server.effects.filter((effect) => effect.kind === 'send' || effect.kind === 'close');
    this.bench.databaseChanged(start, end);
    const step = this.#reducer.step(this.#state, { kind: 'time' }, this.#at);
    this.#state = step.state;
    this.#compare([...told, ...step.effects], step.wakeAt);
  }

  /** Time goes by, with a stop wherever either board wants to wake. */
  #pass(time: number): void {
    const end = us(this.#at + time);
    while (this.#at < end) {
      const wake = this.#wake ?? end;
      const next = us(Math.min(end, Math.max(wake, this.#at), this.#at + longestSleep));
      this.#at = next;
      this.#step({ kind: 'time' }, () => undefined);
      if (this.#differences.length > 0) return;
    }
  }

  #step(event: BoardEvent, act: () => void): readonly BoardEffect[] {
    this.bench.setTime(this.#at);
    act();
    const step: BoardStep = this.#reducer.step(this.#state, event, this.#at);
    this.#state = step.state;
    this.#compare(step.effects, step.wakeAt);
    return step.effects;
  }

  #differ(how: string): void {
    this.#differences.push(`at ${this.#at} us: ${how}`);
  }

  #expect(what: string, c: unknown, ts: unknown): void {
    if (c === ts) return;
    const [a, b] = [JSON.stringify(c), JSON.stringify(ts)];
    if (a !== b) this.#differ(`${what}: C ${a}, TypeScript ${b}`);
  }

  #compare(effects: readonly BoardEffect[], wakeAt: Microseconds | undefined): void {
    const wait = this.bench.poll();
    const log = this.bench.takeLog();
    this.#wake = wakeAt;
    const asked = wakeAt === undefined ? undefined : Math.min(wakeAt - this.#at, longestSleep);
    this.#expect('next wake', wait, asked);

    for (const [place, connection] of this.places.entries()) {
      const sent = log.flatMap((entry) => (entry.kind === 'sent' && entry.connection === place ? [entry.pdu] : []));
      const due = effects.flatMap((effect) =>
        effect.kind === 'send' && effect.connection === connection ? [toHex(effect.pdu)] : [],
      );
      this.#expect(`sent to place ${place}`, sent, due);
    }
    const ended = log.flatMap((entry) => (entry.kind === 'ended' ? [this.places[entry.connection]] : []));
    const closed = effects.flatMap((effect) => (effect.kind === 'close' ? [effect.connection] : []));
    this.#expect('ended connections', ended.sort(), closed.sort());

    const printed = this.bench.takeEvents().map((event) => printConsoleLine(this.#line(event)));
    const lines = effects.flatMap((effect) => (effect.kind === 'print' && !isAnswer(effect.line) ? [effect.line] : []));
    this.#expect('told', printed, lines);
    this.#compareHandlers(
      log.flatMap((entry) => (entry.kind === 'told' ? [entry] : [])),
      lines,
    );
    this.#compareState();
  }

  /** A handler is told of the latest change of each value that changed. */
  #compareHandlers(
    told: readonly { readonly index: number; readonly cause: number; readonly value: string }[],
    lines: readonly string[],
  ): void {
    const latest = new Map<string, string>();
    for (const line of lines) {
      const [word, , id = '', hex = '', cause = ''] = line.split(' ');
      if (word === 'tell' && cause !== 'start') latest.set(id, `${hex} ${cause}`);
    }
    const seen = told.map(({ index, cause, value }) => {
      return `${this.table.values[index]?.id ?? ''} ${value === '' ? '-' : value} ${causes[cause] ?? ''}`;
    });
    this.#expect('handlers', seen.sort(), [...latest].map(([id, rest]) => `${id} ${rest}`).sort());
  }

  #compareState(): void {
    const { server, lastAccess } = this.#state;
    for (const [number, one] of this.#known.kept.entries()) {
      const value = one.value === undefined ? server.descriptions.get(one.handle) : server.values[number];
      this.#expect(`value ${number}`, this.bench.kept(number), toHex(value ?? one.start));
      if (one.value === undefined) continue;
      const access = lastAccess[number];
      const { how, ms } = this.bench.lastAccess(number);
      this.#expect(`last access of ${one.value.id}`, accesses[how], access?.how);
      if (access !== undefined) this.#expect(`its time`, ms, boardMs(this.#state, access.at));
    }
    for (const [place, id] of this.places.entries()) {
      const link = this.bench.link(place);
      const connection = id === undefined ? undefined : server.connections.get(id);
      this.#expect(`client at ${place}`, link.client, id ?? 0);
      if (connection === undefined) continue;
      this.#expect(`state of place ${place}`, link, { client: id, ...stateOf(connection) });
      for (const [number, handle] of this.#known.cccds.entries()) {
        const bits = connection.cccds.get(handle) ?? 0;
        this.#expect(`CCCD ${handle} of place ${place}`, this.bench.subscription(place, number), bits);
      }
    }
    this.#expect('advertises', this.bench.advertises, this.#state.advertising);
    this.#expect('locks out of turn', this.bench.wrongLocks, 0);
  }

  #line(event: BenchEvent): ConsoleLine {
    const { ms, detail, number: client, index } = event;
    const id = this.table.values[index]?.id ?? '';
    const note = (own: Extract<ConsoleLine, { kind: 'note' }>['event']): ConsoleLine => ({
      kind: 'note',
      ms,
      event: own,
    });
    switch (event.kind) {
      case 0:
        return note({ kind: 'start', hash: this.table.databaseHash.specification });
      case 1:
        return { kind: 'tell', ms, id, value: event.value, cause: causes[event.cause] ?? 'start' };
      case 2:
        return note({ kind: 'advertising', on: detail === 1 });
      case 3:
        return note({ kind: 'connected', client, peer: addressText(event.peer) });
      case 4:
        return note({ kind: 'disconnected', client, how: detail === 0 ? 'lost' : 'terminated' });
      case 5:
        return note({ kind: 'secured', client, security: securityWords[detail] ?? 'open' });
      case 6:
        return note({ kind: 'subscribed', client, id, mode: subscriptionWord(detail) });
      case 7:
      case 8:
        return note({ kind: 'refused', client, id, access: event.kind === 7 ? 'read' : 'write', code: detail });
      case 9:
        return note({ kind: 'armed', id, due: event.number });
      case 10:
        return note({ kind: 'disarmed', id });
      default:
        return note({ kind: 'lost', count: event.number });
    }
  }
}

/** What is found out once for each table. */
type Known = {
  readonly packed: Bytes;
  readonly kept: readonly Kept[];
  /** Handles by the number of the CCCD. */
  readonly cccds: readonly number[];
};

const allKnown = new WeakMap<Table, Known>();

function known(table: Table): Known {
  const before = allKnown.get(table);
  if (before !== undefined) return before;
  const packed = packTable(table);
  if (!packed.ok) throw new Error(packed.why);
  const found = {
    packed: packed.bytes,
    kept: keptOf(table),
    cccds: cccdRows(table).map(({ handle }) => handle),
  };
  allKnown.set(table, found);
  return found;
}

const causes: readonly Cause[] = ['start', 'rig', 'air', 'console', 'failsafe'];
const accesses = [undefined, 'read', 'written', 'notified', 'indicated'] as const;
const securityWords: readonly SecurityWord[] = ['open', 'encrypted', 'authenticated', 'secure-connections'];
const awareness = { aware: 0, unaware: 1, told: 2 } as const;

function stateOf(connection: ServerConnection): Record<string, number | boolean> {
  return {
    mtu: connection.mtu,
    features: connection.clientFeatures[0] ?? 0,
    awareness: awareness[connection.changeAware],
    prepared: connection.prepared.reduce((sum, { part }) => sum + 4 + part.length, 0),
    queued: connection.indicationQueue.filter(({ kind }) => kind === 'value').length,
    indicating: connection.indicating !== undefined,
    dead: connection.dead,
  };
}

function linkSecurity(level: number, keySize: number): LinkSecurity {
  return {
    ...openLink,
    encrypted: level >= 1,
    authenticated: level >= 2,
    secureConnections: level >= 3,
    keySize,
  };
}

/** The bench takes a client's number for its address. */
function peerOf(client: number): string {
  return addressText(Uint8Array.of(1, client, client >> 8, 0, 0, 0, 0));
}

function addressText(peer: Bytes): string {
  return toHex(Uint8Array.from(peer.slice(1)).reverse(), ':');
}

function isAnswer(line: string): boolean {
  return line.startsWith('done ') || line.startsWith('error ');
}
