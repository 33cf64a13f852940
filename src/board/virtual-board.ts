import { bug } from '../base/bug.ts';
import type { Bytes } from '../base/bytes.ts';
import type { Cancel, Clock } from '../base/clock.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { LinkSecurity } from '../att/link.ts';
import type { ConnectionId } from '../att/server-model.ts';
import type { Table } from '../table/model.ts';
import { boardReducer } from './board-reducer.ts';
import type { BoardEffect, BoardEvent, BoardReducer, BoardState, Fault, Rig } from './model.ts';

export type VirtualBoardOptions = {
  readonly clock: Clock;
  /** Default: a world that stands still. */
  readonly rig?: Rig<unknown> | undefined;
  /** A whole number, 0..2^32-1; default 1. */
  readonly seed?: number | undefined;
  /** Connections at once; default 4. */
  readonly clients?: number | undefined;
  /** A planted fault, to see it caught. */
  readonly fault?: Fault | undefined;
};

/** The far end of a connection: what the board sends, and that the board ended it. */
export type BoardPort = {
  receive(pdu: Bytes): void;
  closed(): void;
};

/** The near end of a connection, for the link that carries it. After its end all of it does nothing. */
export type BoardConnection = {
  readonly id: ConnectionId;
  send(pdu: Bytes): void;
  secure(security: LinkSecurity): void;
  /** Tells the board that the connection has ended. */
  end(how: 'lost' | 'terminated'): void;
};

/** An event as it happened, enough with table, rig and seed to replay a run. */
export type LoggedEvent = { readonly at: Microseconds; readonly event: BoardEvent };

/**
 * A board that runs: the reducer on a clock, with connections to it. Events are worked off one after the other; what a
 * listener does in the middle of one waits its turn.
 */
export class VirtualBoard {
  /** The table this board works from: with a planted fault not always the one it was given. */
  readonly table: Table;
  readonly clock: Clock;
  readonly #reducer: BoardReducer;
  #state: BoardState | undefined;
  #nextConnection = 1;
  readonly #ports = new Map<ConnectionId, BoardPort>();
  readonly #queue: BoardEvent[] = [];
  #busy = false;
  #wake: { readonly at: Microseconds; readonly cancel: Cancel } | undefined;
  #advertising = false;
  #stopped = false;
  readonly #printed = new Set<(line: string) => void>();
  readonly #advertised = new Set<(on: boolean) => void>();
  readonly #happened = new Set<(logged: LoggedEvent) => void>();

  constructor(table: Table, options: VirtualBoardOptions) {
    const { clock, rig, seed = 1, clients = 4, fault } = options;
    this.table = fault?.table?.(table) ?? table;
    this.clock = clock;
    const reducer = boardReducer(this.table, { rig, seed, clients });
    this.#reducer = fault?.wrap?.(reducer, this.table) ?? reducer;
  }

  /** Powers the board up. Listeners that are there before hear the first lines. A second call does nothing. */
  start(): void {
    if (this.#state !== undefined) return;
    const { state, effects, wakeAt } = this.#reducer.start(this.clock.now());
    this.#state = state;
    this.#busy = true;
    this.#carryOut(effects);
    this.#busy = false;
    this.#schedule(wakeAt);
    this.#work();
  }

  /** Powers it down: connections end and nothing more happens. */
  stop(): void {
    this.#stopped = true;
    this.#wake?.cancel();
    this.#wake = undefined;
    this.#advertising = false;
    for (const port of this.#ports.values()) port.closed();
    this.#ports.clear();
  }

  /** What the board is now. @throws Error before `start` */
  get state(): BoardState {
    bug(this.#state !== undefined, 'the board has not been started');
    return this.#state;
  }

  get advertising(): boolean {
    return this.#advertising;
  }

  /**
   * Connects a client.
   *
   * @param peer who the client is; the same text is the same peer again
   * @returns `undefined` while the board does not advertise
   */
  connect(peer: string, port: BoardPort): BoardConnection | undefined {
    if (!this.#advertising) return undefined;
    const id = this.#nextConnection++;
    this.#ports.set(id, port);
    this.#dispatch({ kind: 'connected', connection: id, peer });
    return {
      id,
      send: (pdu) => {
        if (this.#ports.has(id)) this.#dispatch({ kind: 'received', connection: id, pdu });
      },
      secure: (security) => {
        if (this.#ports.has(id)) this.#dispatch({ kind: 'security', connection: id, security });
      },
      end: (how) => {
        if (this.#ports.delete(id)) this.#dispatch({ kind: 'disconnected', connection: id, how });
      },
    };
  }

  /** One line typed on the console, without its line end. */
  type(line: string): void {
    this.#dispatch({ kind: 'typed', line });
  }

  /** Called for each line printed on the console, without its line end. Returns how to stop. */
  onPrint(listener: (line: string) => void): Cancel {
    return listen(this.#printed, listener);
  }

  onAdvertising(listener: (on: boolean) => void): Cancel {
    return listen(this.#advertised, listener);
  }

  /** Called for each event before it is worked off: the log that a run is replayed from. */
  onEvent(listener: (logged: LoggedEvent) => void): Cancel {
    return listen(this.#happened, listener);
  }

  #dispatch(event: BoardEvent): void {
    if (this.#stopped) return;
    this.#queue.push(event);
    this.#work();
  }

  #work(): void {
    if (this.#busy || this.#state === undefined) return;
    this.#busy = true;
    try {
      for (let event = this.#queue.shift(); event !== undefined; event = this.#queue.shift()) {
        const at = this.clock.now();
        for (const listener of this.#happened) listener({ at, event });
        const { state, effects, wakeAt } = this.#reducer.step(this.#state, event, at);
        this.#state = state;
        this.#carryOut(effects);
        this.#schedule(wakeAt);
      }
    } finally {
      this.#busy = false;
    }
  }

  #carryOut(effects: readonly BoardEffect[]): void {
    for (const effect of effects) {
      switch (effect.kind) {
        case 'send':
          this.#ports.get(effect.connection)?.receive(effect.pdu);
          break;
        case 'print':
          for (const listener of this.#printed) listener(effect.line);
          break;
        case 'advertise':
          this.#advertising = effect.on;
          for (const listener of this.#advertised) listener(effect.on);
          break;
        case 'close': {
          const port = this.#ports.get(effect.connection);
          if (port === undefined) break;
          this.#ports.delete(effect.connection);
          port.closed();
          this.#dispatch({ kind: 'disconnected', connection: effect.connection, how: 'terminated' });
          break;
        }
      }
    }
  }

  #schedule(wakeAt: Microseconds | undefined): void {
    if (this.#stopped || this.#wake?.at === wakeAt) return;
    this.#wake?.cancel();
    this.#wake = undefined;
    if (wakeAt === undefined) return;
    const cancel = this.clock.schedule(wakeAt, () => {
      this.#wake = undefined;
      this.#dispatch({ kind: 'time' });
    });
    this.#wake = { at: wakeAt, cancel };
  }
}

function listen<T>(listeners: Set<T>, listener: T): Cancel {
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
  };
}
