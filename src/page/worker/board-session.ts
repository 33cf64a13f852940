import { toHex } from '../../base/bytes.ts';
import type { Clock } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import {
  failure,
  openLink,
  type Connection,
  type Failure,
  type LinkSecurity,
  type Outcome,
  type RemoteCharacteristic,
} from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu/model.ts';
import { parseConsoleLine } from '../../board/console.ts';
import type { Table } from '../../table/model.ts';
import { Batcher, type Snapshot } from './batcher.ts';
import type { BoardPlan } from './board-plan.ts';
import { identity, type BoardSource, type OpenSource } from './board-source.ts';
import type { DropWord, FromWorker, LinkState, RigWord, SubscribeMode } from './protocol.ts';
import { remoteCharacteristic } from './remote-characteristic.ts';

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
  /** The board. */
  readonly open: OpenSource;
  /** Real time in the page, virtual time in tests. */
  readonly clock: Clock;
  readonly post: (message: FromWorker) => void;
};

/** One board on real time with the page as its central. It never throws for what board or link do. */
export class BoardSession {
  readonly #options: SessionOptions;
  readonly #source: BoardSource;
  readonly #batcher: Batcher;
  readonly #indexById: ReadonlyMap<string, number>;
  readonly #indexByHandle: ReadonlyMap<number, number>;
  #connection: Connection | undefined;
  #state: LinkState = { kind: 'silent' };
  /** The page is told of the link only after it was told of the board. */
  #told = false;
  #stopped = false;

  constructor(options: SessionOptions) {
    const { plan, open, clock, post } = options;
    const { table } = plan;
    this.#options = options;
    this.#indexById = new Map(table.values.map(({ id, index }) => [id, index]));
    this.#indexByHandle = new Map(table.values.map(({ handle, index }) => [handle, index]));
    this.#batcher = new Batcher(
      clock,
      (batch) => {
        post({ kind: 'happened', batch });
      },
      () => this.#snapshot(),
    );
    this.#source = open({
      onLine: (line) => {
        this.#printed(line);
      },
      onAdvertising: () => {
        if (this.#told) this.#showIdle();
      },
      onCrossed: (crossed) => {
        this.#batcher.pdu(crossed);
      },
    });
  }

  /** Whether the link's security can be set as pairing would. */
  get securable(): boolean {
    return this.#source.link.reaches.has('security');
  }

  get rig(): RigWord {
    return this.#source.rig;
  }

  /** Tells the page the state of the link; the first word after `board-started`. */
  announce(): void {
    this.#told = true;
    this.#showIdle(true);
  }

  stop(): void {
    this.#stopped = true;
    this.#batcher.stop();
    this.#source.stop();
  }

  async connect(mtu: number): Promise<void> {
    if (this.#state.kind === 'connected' || this.#state.kind === 'connecting') return;
    this.#show({ kind: 'connecting' });
    const outcome = await this.#source.link.connect(identity);
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
    this.#source.link.console?.send(line);
  }

  /** Posts what has happened so far, so that the answer to an act comes after what it brought. */
  flush(): void {
    if (!this.#stopped) this.#batcher.flush();
  }

  get #table(): Table {
    return this.#options.plan.table;
  }

  #ms(): number {
    return this.#source.ms();
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
    const next = this.#source.advertising ? 'advertising' : 'silent';
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
    const subscriptions = this.#connection === undefined ? [] : this.#source.subscriptions();
    return { boardMs: this.#ms(), subscriptions, rig: this.#source.world() };
  }
}
