import type { Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Handle, Table } from '../table/model.ts';
import type { LinkSecurity } from './link.ts';

/** Names one connection of one board; never used again after it ends. */
export type ConnectionId = number;

/**
 * The server as a reducer: `step(table, state, event)` gives the next state and what is to be done. It reads no clock;
 * events say when they happened. Values are the board's truth: the board sets them, a client's accepted write sets them
 * too.
 */
export type ServerState = {
  /** The values in force, by index into the table's values. */
  readonly values: readonly Bytes[];
  /** Labels that clients may write, by handle of the user description. */
  readonly descriptions: ReadonlyMap<Handle, Bytes>;
  readonly connections: ReadonlyMap<ConnectionId, ServerConnection>;
  /** What is kept for a bonded peer while it is away. */
  readonly bonds: ReadonlyMap<string, BondMemory>;
};

export type ServerConnection = {
  /** Who the client is, so that a bond is found again. */
  readonly peer: string;
  readonly mtu: number;
  /** True after the one Exchange MTU that a connection may carry. */
  readonly mtuExchanged: boolean;
  readonly security: LinkSecurity;
  /** CCCD bits by CCCD handle; absent is 0. */
  readonly cccds: ReadonlyMap<Handle, number>;
  readonly prepared: readonly PreparedWrite[];
  /** Waiting for the confirmation of an indication. */
  readonly indicating:
    { readonly handle: Handle; readonly since: Microseconds; readonly what: QueuedIndication } | undefined;
  /** Indications that wait their turn, each value at most once, Service Changed first and at most once. */
  readonly indicationQueue: readonly QueuedIndication[];
  /** Client Supported Features as the client wrote them, one octet of known bits. */
  readonly clientFeatures: Bytes;
  /**
   * Robust caching, Core Vol 3 Part G 2.5.2.1. `told`: was answered Database Out Of Sync, or has read the Database Hash,
   * since the change; its next request makes it aware.
   */
  readonly changeAware: 'aware' | 'unaware' | 'told';
  /** Set when a transaction timed out: nothing more may be sent. */
  readonly dead: boolean;
};

export type PreparedWrite = { readonly handle: Handle; readonly offset: number; readonly part: Bytes };

export type QueuedIndication =
  { readonly kind: 'value'; readonly index: number } | ({ readonly kind: 'service-changed' } & HandleRange);

/** Both inclusive. */
export type HandleRange = { readonly start: Handle; readonly end: Handle };

export type BondMemory = {
  readonly cccds: ReadonlyMap<Handle, number>;
  readonly clientFeatures: Bytes;
  readonly changeAware: 'aware' | 'unaware';
  /** The hash in force when the peer was last here, as sent. */
  readonly databaseHash: Bytes;
  /** What changed that the peer has not confirmed to know. */
  readonly serviceChanged: HandleRange | undefined;
};

export type ServerEvent =
  | { readonly kind: 'connected'; readonly connection: ConnectionId; readonly peer: string }
  | { readonly kind: 'disconnected'; readonly connection: ConnectionId }
  | { readonly kind: 'received'; readonly connection: ConnectionId; readonly pdu: Bytes }
  /** `bonded` going from true to false deletes the bond and all that was kept for it. */
  | { readonly kind: 'security'; readonly connection: ConnectionId; readonly security: LinkSecurity }
  /** The board changes its own value. */
  | { readonly kind: 'set'; readonly index: number; readonly value: Bytes }
  /** The board's policy says: send this value to whoever subscribed, now. */
  | { readonly kind: 'publish'; readonly index: number }
  /** The same for several values at once: a client that can takes them in one notification. */
  | { readonly kind: 'publish-together'; readonly indices: readonly number[] }
  /** The database changed between these handles. */
  | { readonly kind: 'database-changed'; readonly start: Handle; readonly end: Handle }
  /** Time passed: indication time-outs. */
  | { readonly kind: 'time' };

export type ServerEffect =
  | { readonly kind: 'send'; readonly connection: ConnectionId; readonly pdu: Bytes }
  /** A client's write was accepted and is now the value. */
  | { readonly kind: 'written'; readonly connection: ConnectionId; readonly index: number; readonly value: Bytes }
  | { readonly kind: 'read'; readonly connection: ConnectionId; readonly index: number }
  | {
      readonly kind: 'subscription';
      readonly connection: ConnectionId;
      readonly index: number;
      readonly notify: boolean;
      readonly indicate: boolean;
    }
  | { readonly kind: 'confirmed'; readonly connection: ConnectionId; readonly index: number | undefined }
  /** The bearer must be closed: a transaction timed out. */
  | { readonly kind: 'close'; readonly connection: ConnectionId; readonly why: string };

export type ServerStep = { readonly state: ServerState; readonly effects: readonly ServerEffect[] };

export type ServerOptions = {
  /** Largest MTU the server accepts, octets, 23..517. */
  readonly maxMtu: number;
  /**
   * Octets of prepared writes that the server queues for one client before it answers Prepare Queue Full; each counts
   * its part and 4 octets for handle and offset.
   */
  readonly prepareQueueBytes: number;
  /** Transaction time, Core Vol 3 Part F 3.3.3: 30 s. */
  readonly transactionTimeout: Microseconds;
};

export type ServerReducer = (
  table: Table,
  options: ServerOptions,
  state: ServerState,
  event: ServerEvent,
  at: Microseconds,
) => ServerStep;
