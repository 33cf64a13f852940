import { toHex } from '../../base/bytes.ts';
import type { Clock } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import {
  failure,
  openLink,
  type Connection,
  type Failure,
  type Link,
  type LinkSecurity,
  type Outcome,
  type RemoteCharacteristic,
} from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu/model.ts';
import { parseConsoleLine } from '../../board/console.ts';
import type { Fault } from '../../board/model.ts';
import { boardMs } from '../../board/view.ts';
import { VirtualBoard } from '../../board/virtual-board.ts';
import { inMemoryLink } from '../../links/in-memory.ts';
import type { Table } from '../../table/model.ts';
import { Batcher, type Snapshot } from './batcher.ts';
import type { BoardPlan } from './board-plan.ts';
import type { ChosenRig } from './chosen-rig.ts';
import type { DropWord, FromWorker, LinkState, RigWord, SubscribeMode } from './protocol.ts';
import { remoteCharacteristic } from './remote-characteristic.ts';

/** The page's client as the board knows it. */
const identity = 'page';
/** The packets a connection remembers: nothing in the page reads them back. */
const keptPdus = 64;
/** What pairing with a shown and compared number gives. */
const pairedLink: LinkSecurity = {
  encrypted: true,
  authenticated: true,
  secureConnections: true,
  keySize: 16,
  bonded: true,
};

export type SessionOptions = {
  readonly plan: BoardPlan;
  /** The world behind it. */
  readonly world: ChosenRig;
  /** Planted in it. */
  readonly fault: Fault | undefined;
  readonly seed: number;
  /** Real time in the page, virtual time in tests. */
  readonly clock: Clock;
  readonly post: (message: FromWorker) => void;
};

/** One virtual board on real time with the page as its central. It never throws for what board or link do. */
export class BoardSession {
  readonly rig: RigWord;
  readonly #options: SessionOptions;
  readonly #board: VirtualBoard;
  readonly #link: Link;
  readonly #batcher: Batcher;
  readonly #indexById: ReadonlyMap<string, number>;
  readonly #indexByHandle: ReadonlyMap<number, number>;
  #connection: Connection | undefined;
  #state: LinkState = { kind: 'silent' };
  /** The page is told of the link only after it was told of the board. */
  #told = false;
  #stopped = false;

  constructor(options: SessionOptions) {
    const { plan, world, fault, seed, clock, post } = options;
    const { table } = plan;
    this.rig = world.word;
    this.#options = options;
    this.#board = new VirtualBoard(table, { clock, rig: world.rig, seed, fault });
    this.#indexById = new Map(table.values.map(({ id, index }) => [id, index]));
    this.#indexByHandle = new Map(table.values.map(({ handle, index }) => [handle, index]));
    this.#batcher = new Batcher(
      clock,
      (batch) => {
        post({ kind: 'happened', batch });
      },
      () => this.#snapshot(),
    );
    this.#board.onPrint((line) => {
      this.#printed(line);
    });
    this.#board.onAdvertising(() => {
      this.#showIdle();
    });
    this.#link = inMemoryLink(this.#board, {
      // A packet waits half an interval on average for the next connection event.
      latency: us(Math.floor(table.radio.connection.interval.min / 2)),
      client: {
        keep: keptPdus,
        onCrossed: (crossed) => {
          this.#batcher.pdu(crossed);
        },
      },
    });
  }

  /** Tells the page the state of the link; the first word after `board-started`. */
  announce(): void {
    this.#told = true;
    this.#showIdle(true);
  }

  stop(): void {
    this.#stopped = true;
    this.#batcher.stop();
    this.#board.stop();
    void this.#link.close();
  }

  async connect(mtu: number): Promise<void> {
    if (this.#state.kind === 'connected' || this.#state.kind === 'connecting') return;
    this.#show({ kind: 'connecting' });
    const outcome = await this.#link.connect(identity);
    if (this.#stopped) return;
    if (!outcome.ok) {
      this.#showIdle(true);
      return;
    }
    const connection = outcome.value;
    this.#connection = connection;
    connection.onClose(() => {
      this.#ended(connection);
    });
    connection.onValue(({ handle, value, kind }) => {
      const index = this.#indexByHandle.get(handle ?? -1);
      if (index === undefined) return;
      this.#batcher.air({ index, ms: this.#ms(), raw: value, how: kind === 'notification' ? 'notified' : 'indicated' });
    });
    this.#show({ kind: 'connected', mtu: connection.mtu, encrypted: false, hash: 'unread' });
    if (mtu > defaultMtu) await this.exchangeMtu(mtu);
    await this.#readHash(connection);
  }

  async drop(how: DropWord): Promise<void> {
    const connection = this.#connection;
    if (connection === undefined) return;
    this.#connection = undefined;
    const since = this.#ms();
    const { timeout } = this.#table.radio.connection;
    // A goodbye takes until it has arrived; a loss is known to the board when its timeout is over.
    this.#show({ kind: 'lost', since, noticedAt: how === 'lose' ? since + Math.ceil(timeout / 1000) : since });
    await connection.drop(how);
    if (how === 'terminate') this.#noticed();
    else
      this.#later(timeout, () => {
        this.#noticed();
      });
  }

  async exchangeMtu(mtu: number): Promise<Failure | undefined> {
    const outcome = await this.#with((connection) => connection.exchangeMtu(mtu));
    this.#update({ mtu: this.#connection?.mtu ?? defaultMtu });
    return outcome.ok ? undefined : outcome.failure;
  }

  async secure(on: boolean): Promise<Failure | undefined> {
    const outcome = await this.#with((connection) => connection.setSecurity(on ? pairedLink : openLink));
    if (!outcome.ok) return outcome.failure;
    this.#update({ encrypted: on });
    return undefined;
  }

  async read(index: number): Promise<Failure | undefined> {
    const outcome = await this.#at(index, (connection, target) => connection.read(target));
    if (!outcome.ok) return outcome.failure;
    this.#batcher.air({ index, ms: this.#ms(), raw: outcome.value, how: 'read' });
    return undefined;
  }

  async write(index: number, value: Uint8Array, response: boolean): Promise<Failure | undefined> {
    const outcome = await this.#at(index, (connection, target) =>
      response ? connection.write(target, value) : connection.writeWithoutResponse(target, value),
    );
    if (!outcome.ok) return outcome.failure;
    this.#batcher.air({ index, ms: this.#ms(), raw: value, how: 'written' });
    return undefined;
  }

  async subscribe(index: number, mode: SubscribeMode): Promise<Failure | undefined> {
    const outcome = await this.#at(index, (connection, target) => connection.subscribe(target, mode));
    return outcome.ok ? undefined : outcome.failure;
  }

  type(line: string): void {
    this.#board.type(line);
  }

  /** Posts what has happened so far, so that the answer to an act comes after what it brought. */
  flush(): void {
    if (!this.#stopped) this.#batcher.flush();
  }

  get #table(): Table {
    return this.#options.plan.table;
  }

  #ms(): number {
    return boardMs(this.#board.state, this.#options.clock.now());
  }

  #with<T>(act: (connection: Connection) => Promise<Outcome<T>>): Promise<Outcome<T>> {
    const connection = this.#connection;
    return connection === undefined
      ? Promise.resolve(failure({ kind: 'not-reachable', about: 'there is no connection' }))
      : act(connection);
  }

  #at<T>(
    index: number,
    act: (connection: Connection, target: RemoteCharacteristic) => Promise<Outcome<T>>,
  ): Promise<Outcome<T>> {
    const target = remoteCharacteristic(this.#table, index);
    if (target !== undefined) return this.#with((connection) => act(connection, target));
    return Promise.resolve(failure({ kind: 'not-reachable', about: 'the contract has no such characteristic' }));
  }

  /** The contract is this client's cache of the table; the hash says whether the board agrees. */
  async #readHash(connection: Connection): Promise<void> {
    const row = this.#table.rows.find(({ type }) => type === '2B2A');
    if (row === undefined) return;
    const outcome = await connection.read({ kind: 'characteristic', uuid: row.type, handle: row.handle });
    if (!outcome.ok || this.#connection !== connection) return;
    this.#update({ hash: toHex(outcome.value) === toHex(this.#table.databaseHash.onAir) ? 'same' : 'different' });
  }

  #printed(line: string): void {
    this.#batcher.line(line);
    const parsed = parseConsoleLine(line);
    if (parsed?.kind !== 'tell') return;
    const index = this.#indexById.get(parsed.id);
    if (index !== undefined) this.#batcher.truth({ index, ms: parsed.ms, raw: parsed.value, cause: parsed.cause });
  }

  /** Ended by the board. */
  #ended(connection: Connection): void {
    if (this.#connection !== connection) return;
    this.#connection = undefined;
    this.#showIdle(true);
  }

  #noticed(): void {
    if (this.#state.kind === 'lost') this.#showIdle(true);
  }

  /** While nobody is connected the state is what the board does. */
  #showIdle(now = false): void {
    const { kind } = this.#state;
    if (!now && kind !== 'silent' && kind !== 'advertising') return;
    const next = this.#board.advertising ? 'advertising' : 'silent';
    if (now || kind !== next) this.#show({ kind: next });
  }

  #show(state: LinkState): void {
    this.#state = state;
    if (this.#told && !this.#stopped) this.#options.post({ kind: 'link', state });
  }

  #update(change: Partial<Extract<LinkState, { kind: 'connected' }>>): void {
    if (this.#state.kind === 'connected' && this.#connection !== undefined) this.#show({ ...this.#state, ...change });
  }

  #later(after: Microseconds, call: () => void): void {
    const { clock } = this.#options;
    clock.schedule(us(clock.now() + after), call);
  }

  #snapshot(): Snapshot {
    const { state } = this.#board;
    const mine = [...state.server.connections.values()].find(({ peer }) => peer === identity);
    const subscriptions: (readonly [number, number])[] = [];
    if (mine !== undefined && this.#connection !== undefined) {
      for (const { index, cccd } of this.#table.values) {
        const bits = cccd === undefined ? 0 : (mine.cccds.get(cccd) ?? 0) & 3;
        if (bits !== 0) subscriptions.push([index, bits]);
      }
    }
    return { boardMs: this.#ms(), subscriptions, rig: this.rig === 'wave-tank' ? state.rig : undefined };
  }
}
