import type { Bytes } from '../base/bytes.ts';
import type { Clock } from '../base/clock.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Uuid } from '../base/uuid.ts';
import type { Handle } from '../table/model.ts';

/**
 * A link: a way to reach a board as a central. Every link offers this one interface; what it cannot do is missing from
 * `reaches`, and a proof counts what needs it as not reachable. Nothing here throws for what a board or a radio does:
 * outcomes are values.
 */
export type Link = {
  /** For people: `virtual board, in memory`. */
  readonly name: string;
  readonly reaches: ReadonlySet<Reach>;
  readonly clock: Clock;
  /** What the board advertises now; `undefined` while it does not advertise. */
  advertisement(): Promise<Advertisement | undefined>;
  /** Connects as the client `identity` (default `first`): the same identity is the same peer again, bonds included. */
  connect(identity?: string): Promise<Outcome<Connection>>;
  /** The board's console, where there is one. */
  readonly console: ConsolePort | undefined;
  /** Ends the link and everything on it. */
  close(): Promise<void>;
};

/** What a link may or may not be able to do. */
export type Reach =
  /** Send and receive any ATT PDU. */
  | 'raw-pdu'
  /** See the number of an ATT error, not only that something was refused. */
  | 'error-codes'
  /** Choose the MTU. */
  | 'mtu'
  /** See attribute handles. */
  | 'handles'
  /** See advertising and scan response data. */
  | 'advertising'
  /** Lose the link as a radio does: by supervision timeout, without a goodbye. */
  | 'link-loss'
  /** Hold two connections at once. */
  | 'second-client'
  /** Set the security state of the link without pairing, as a test fixture. */
  | 'security'
  /** Send and see what lies below ATT: fragments, channels, connection parameters. */
  | 'hci'
  /** Read the board's truth. */
  | 'console'
  /** Time is virtual: waiting costs nothing. */
  | 'virtual-time';

export type Advertisement = { readonly advertising: Bytes; readonly scanResponse: Bytes };

export type Outcome<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly failure: Failure };

export type Failure =
  /** The board answered with an ATT error. `code` is `undefined` where the link hides it. */
  | { readonly kind: 'att-error'; readonly code: number | undefined; readonly handle: Handle | undefined }
  /** No answer within the transaction time of 30 s (Core Vol 3 Part F 3.3.3). */
  | { readonly kind: 'timeout' }
  | { readonly kind: 'link-lost' }
  /** The board's answer breaks the protocol; `about` says how. */
  | { readonly kind: 'protocol'; readonly about: string }
  | { readonly kind: 'not-reachable'; readonly about: string };

export const success = <T>(value: T): Outcome<T> => ({ ok: true, value });
export const failure = <T>(reason: Failure): Outcome<T> => ({ ok: false, failure: reason });

/** One connection: the GATT procedures of a client. Operations are queued; one request is outstanding at a time. */
export type Connection = {
  readonly isOpen: boolean;
  /** The MTU in force, octets. */
  readonly mtu: number;
  exchangeMtu(mtu: number): Promise<Outcome<number>>;
  discover(): Promise<Outcome<readonly RemoteService[]>>;
  /** The whole value, by Read and as many Read Blob as it takes. */
  read(target: RemoteAttribute): Promise<Outcome<Bytes>>;
  /** Write Request, or prepared writes when the value is longer than MTU - 3. */
  write(target: RemoteAttribute, value: Bytes): Promise<Outcome<void>>;
  writeWithoutResponse(target: RemoteAttribute, value: Bytes): Promise<Outcome<void>>;
  /** Writes the CCCD. `off` unsubscribes. */
  subscribe(target: RemoteCharacteristic, mode: 'notify' | 'indicate' | 'off'): Promise<Outcome<void>>;
  /** Called for each notification and indication (which is confirmed by itself, unless told otherwise). */
  onValue(listener: (event: ValueEvent) => void): () => void;
  /** Sends one PDU as it is; answers with the response, or `undefined` when nothing came within `wait`. */
  exchange(pdu: Bytes, wait?: Microseconds): Promise<Outcome<Bytes | undefined>>;
  /** Whether indications are confirmed by themselves; on at first. */
  confirmIndications(on: boolean): void;
  /** Sets the link's security as a fixture, where `security` is reached. */
  setSecurity(security: LinkSecurity): Promise<Outcome<void>>;
  /** `terminate`: says goodbye. `lose`: the radio link breaks and the board notices at its supervision timeout. */
  drop(how: 'terminate' | 'lose'): Promise<void>;
  /** Called when the link ends, whoever ended it. */
  onClose(listener: () => void): () => void;
  /** Everything that crossed so far, in order. */
  readonly transcript: readonly CrossedPdu[];
  /** What lies below ATT, where `hci` is reached. */
  readonly lower?: LowerLayers | undefined;
};

/** A connection below ATT, as a host sees it (Core Vol 3 Part A, Vol 4 Part E). */
export type LowerLayers = {
  /** Connection parameters in force: interval, connection events that the peripheral may skip, supervision timeout. */
  readonly parameters: ConnectionParameters;
  /** Octets of one link-layer packet each way. */
  readonly dataLength: { readonly tx: number; readonly rx: number };
  /** Octets that one fragment may have. */
  readonly fragmentSize: number;
  /** Why the connection ended, as an error code of the controller; `undefined` while it lasts. */
  readonly reason: number | undefined;
  /** Sends parts of frames as they are, right or wrong. */
  sendFragments(fragments: readonly { readonly boundary: 'first' | 'continuing'; readonly data: Bytes }[]): void;
  /** Called for each whole frame that comes, on any channel. Returns how to stop. */
  onFrame(listener: (frame: { readonly channel: number; readonly payload: Bytes }) => void): () => void;
  /** Has the controllers agree on other parameters; gives those in force then. */
  update(parameters: ConnectionParameters): Promise<Outcome<ConnectionParameters>>;
};

export type ConnectionParameters = {
  readonly interval: Microseconds;
  readonly latency: number;
  readonly timeout: Microseconds;
};

/** What pairing has given a link; `bonded` keys survive it. */
export type LinkSecurity = {
  readonly encrypted: boolean;
  /** The key was authenticated (protected against a man in the middle). */
  readonly authenticated: boolean;
  readonly secureConnections: boolean;
  /** Octets, 7..16. */
  readonly keySize: number;
  readonly bonded: boolean;
};

export const openLink: LinkSecurity = {
  encrypted: false,
  authenticated: false,
  secureConnections: false,
  keySize: 16,
  bonded: false,
};

export type CrossedPdu = {
  readonly at: Microseconds;
  readonly from: 'central' | 'board';
  readonly pdu: Bytes;
};

export type ValueEvent = {
  readonly at: Microseconds;
  readonly kind: 'notification' | 'indication';
  /** `undefined` where the link hides handles; then `characteristic` tells. */
  readonly handle: Handle | undefined;
  readonly characteristic: RemoteCharacteristic | undefined;
  readonly value: Bytes;
};

export type RemoteService = {
  readonly uuid: Uuid;
  readonly secondary: boolean;
  readonly start: Handle | undefined;
  readonly end: Handle | undefined;
  readonly includes: readonly { readonly uuid: Uuid; readonly start: Handle; readonly end: Handle }[];
  readonly characteristics: readonly RemoteCharacteristic[];
};

export type RemoteCharacteristic = RemoteAttribute & {
  readonly kind: 'characteristic';
  readonly service: Uuid;
  /** Property bits. */
  readonly properties: number;
  readonly declaration: Handle | undefined;
  readonly descriptors: readonly RemoteDescriptor[];
};

export type RemoteDescriptor = RemoteAttribute & { readonly kind: 'descriptor' };

export type RemoteAttribute = {
  readonly kind: 'characteristic' | 'descriptor';
  readonly uuid: Uuid;
  /** Handle of the value (or descriptor); `undefined` where the link hides handles. */
  readonly handle: Handle | undefined;
};

/** The board's console as a stream of lines, without line ends. */
export type ConsolePort = {
  send(line: string): void;
  /** Called for each whole line the board prints. Returns how to stop. */
  onLine(listener: (line: string) => void): () => void;
};

/** What the generic client needs of a link that carries raw ATT PDUs. */
export type PduChannel = {
  send(pdu: Bytes): void;
  onPdu(listener: (pdu: Bytes) => void): void;
  onClose(listener: () => void): void;
  readonly isOpen: boolean;
  /** Ends the connection; absent where the client cannot. */
  drop?(how: 'terminate' | 'lose'): void | Promise<void>;
  /** Sets the link's security as a fixture; absent where the link cannot. */
  setSecurity?(security: LinkSecurity): void | Promise<void>;
  /** What lies below, for those who look there; absent where the link hides it. */
  readonly lower?: LowerLayers;
};
