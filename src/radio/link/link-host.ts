import type { Bytes } from '../../base/bytes.ts';
import type { Random } from '../../base/random.ts';
import type { EventName, EventParameters } from '../../hci/events/codec.ts';

/** What a controller's host has set for its connections, as it stands now. */
export type LinkSettings = {
  /** LE features of the controller, eight octets. */
  readonly features: Bytes;
  readonly version: { readonly version: number; readonly company: number; readonly subversion: number };
  /** LL_LENGTH: the most that it receives, octets and µs. */
  readonly maxRxOctets: number;
  readonly maxRxTime: number;
  /** What a new connection asks to send, octets and µs. */
  readonly initialTxOctets: number;
  readonly initialTxTime: number;
  /** PHYs that it likes to send and receive on: bits 1M, 2M, coded. */
  readonly txPhys: number;
  readonly rxPhys: number;
  /** Symbols a bit on the coded PHY. */
  readonly codedSymbols: 2 | 8;
};

/** What one end of a connection asks of and tells its controller. */
export type LinkHost = {
  readonly handle: number;
  readonly random: Random;
  settings(): LinkSettings;
  /** Sends an event to the host unless the host has masked it. */
  event<N extends EventName>(name: N, parameters: EventParameters<N>): void;
  /** Whether the host wants this LE meta event. */
  wants(name: EventName): boolean;
  /** Whether there is room for one more piece of data for the host. */
  takesData(): boolean;
  /** @param llid start or continuing */
  data(llid: number, payload: Bytes): void;
  /** Packets of the host that the other end has acknowledged. */
  completed(packets: number): void;
  /** The connection has ended here; `reason` is for Disconnection Complete. */
  closed(reason: number): void;
};
