import { noBytes } from '../base/bytes.ts';
import { VirtualClock, type Clock } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import { GattClient, type GattClientOptions } from '../att/gatt-client.ts';
import {
  failure,
  success,
  type Advertisement,
  type Connection,
  type ConsolePort,
  type Failure,
  type Link,
  type Outcome,
  type PduChannel,
  type Reach,
} from '../att/link.ts';
import type { DeviceAddress } from '../hci/address.ts';
import type { H4Port } from '../hci/h4-port.ts';
import { attChannel } from '../hci/host/att-channel.ts';
import type { Attempt } from '../hci/host/attempt.ts';
import { Central } from '../hci/host/central.ts';
import type { HostConnection } from '../hci/host/connection.ts';
import type { Sighting } from '../hci/host/sighting.ts';
import type { Table } from '../table/model.ts';

/** A controller that a central of this link has to itself. */
export type CentralController = {
  readonly port: H4Port;
  /** A random static address for the central; `undefined`: the controller's public one. */
  readonly address: string | undefined;
  /** Takes it off the air without a goodbye, and back; absent where that cannot be done. */
  readonly power?: { off(): void; on(): void };
};

export type RadioLinkParts = {
  /** For people: `virtual board, over the virtual radio`. */
  readonly name: string;
  readonly clock: Clock;
  readonly table: Table;
  /** Whether what was heard is the board. */
  readonly isBoard: (sighting: Sighting) => boolean;
  /** A controller for `identity`, asked for once each; `undefined`: there is none left. */
  readonly controller: (identity: string) => CentralController | undefined;
  /** Whether there are as many controllers as wanted, and each can be taken off the air. */
  readonly virtual: boolean;
  readonly console: ConsolePort | undefined;
  /** For the client of each connection. */
  readonly client?: GattClientOptions | undefined;
  /** Frees what was made for the link. */
  readonly close?: () => void | Promise<void>;
};

/** How long a board that does not advertise is looked for, beyond what its advertising interval takes. */
const scanTime = us(1_000_000);

/** How many advertising events may be missed before a board counts as silent: collisions, loss, a scanner elsewhere. */
const mostMissed = 20;

/** The longest random delay of an advertising event, Core Vol 6 Part B 4.4.2.2.1. */
const longestDelay = us(10_000);

/** What a client of the link has: its central, and its last connection. */
type Client = {
  readonly controller: CentralController;
  readonly central: Central;
  connection: GattClient | undefined;
  /** When the board must have noticed that the link to it was lost. */
  noticed: Microseconds | undefined;
};

/**
 * The link over HCI: each client is a central of its own on a controller of its own, and the board is whoever advertises as
 * the board does. It reaches all but pairing: the board's host keeps no keys.
 */
export function radioLink(parts: RadioLinkParts): Link {
  const { clock, table } = parts;
  const { interval, latency, timeout, phy, dataLength } = table.radio.connection;
  const wish = { interval, latency, timeout, phy };
  const patience = us(scanTime + mostMissed * (table.radio.advertise.interval.max + longestDelay));
  const clients = new Map<string, Client>();
  let board: DeviceAddress | undefined;

  const client = (identity: string): Client | undefined => {
    const known = clients.get(identity);
    if (known !== undefined) return known;
    const controller = parts.controller(identity);
    if (controller === undefined) return undefined;
    const central = new Central(controller.port, clock, { address: controller.address, dataLength });
    const made = { controller, central, connection: undefined, noticed: undefined };
    clients.set(identity, made);
    return made;
  };

  /** A client's controller may still be off. */
  const wake = async (one: Client): Promise<void> => {
    if (one.noticed === undefined) return;
    const left = one.noticed - clock.now();
    if (left > 0) await clock.sleep(us(left));
    one.noticed = undefined;
    one.controller.power?.on();
  };

  const look = async (one: Client, enough: (sighting: Sighting) => boolean): Promise<Attempt<Sighting | undefined>> => {
    await wake(one);
    const heard = await one.central.scan((sighting) => parts.isBoard(sighting) && enough(sighting), patience);
    if (!heard.ok) return heard;
    const found = heard.value.find(parts.isBoard);
    if (found !== undefined) board = found.device;
    return { ok: true, value: found };
  };

  const advertisement = async (): Promise<Advertisement | undefined> => {
    // Listens beside the clients where it can, so as not to disturb them.
    const one = client(parts.virtual ? 'observer' : 'first');
    if (one === undefined) return undefined;
    const heard = await look(one, ({ scanResponse }) => scanResponse !== undefined);
    if (!heard.ok || heard.value === undefined) return undefined;
    const { advertising, scanResponse = noBytes } = heard.value;
    return { advertising, scanResponse };
  };

  const connect = async (identity = 'first'): Promise<Outcome<Connection>> => {
    const one = client(identity);
    if (one === undefined) return failure({ kind: 'not-reachable', about: 'there is one controller, and it is taken' });
    if (one.connection?.isOpen === true) {
      return failure({ kind: 'protocol', about: `client ${identity} is connected already` });
    }
    await wake(one);
    let made: Attempt<HostConnection> | undefined;
    if (board !== undefined) made = await one.central.connect(board, wish, patience);
    if (made?.ok !== true) {
      // Never seen, or under another address since: a board may choose a new one at each start.
      const heard = await look(one, () => true);
      if (!heard.ok) return failure(failureOf(heard));
      if (heard.value === undefined) return failure({ kind: 'timeout' });
      made = await one.central.connect(heard.value.device, wish, patience);
    }
    if (!made.ok) return failure(failureOf(made));
    one.connection = new GattClient(channelOf(one, made.value, clock), clock, parts.client);
    return success(one.connection);
  };

  return {
    name: parts.name,
    reaches: new Set<Reach>([
      'raw-pdu',
      'error-codes',
      'mtu',
      'handles',
      'advertising',
      'hci',
      ...(parts.virtual ? (['link-loss', 'second-client'] as const) : []),
      ...(parts.console === undefined ? [] : (['console'] as const)),
      ...(clock instanceof VirtualClock ? (['virtual-time'] as const) : []),
    ]),
    clock,
    advertisement,
    connect,
    console: parts.console,
    async close() {
      for (const { connection } of clients.values()) {
        if (connection?.isOpen === true) await connection.drop('terminate');
      }
      await parts.close?.();
    },
  };
}

function channelOf(one: Client, connection: HostConnection, clock: Clock): PduChannel {
  const { power } = one.controller;
  if (power === undefined) return attChannel(one.central, connection, clock);
  return attChannel(one.central, connection, clock, () => {
    const { timeout, interval } = connection.parameters;
    power.off();
    one.central.host.drop();
    one.noticed = us(clock.now() + timeout + interval);
  });
}

/** What keeps a central from its board, in the words of a link. */
function failureOf({ timeout, about }: { readonly timeout: boolean; readonly about: string }): Failure {
  return timeout ? { kind: 'timeout' } : { kind: 'not-reachable', about };
}
