import { Gate, VirtualClock, type Clock } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { Bytes } from '../base/bytes.ts';
import { GattClient, type GattClientOptions } from '../att/gatt-client.ts';
import {
  failure,
  success,
  type Connection,
  type ConsolePort,
  type Link,
  type LinkSecurity,
  type Outcome,
  type PduChannel,
  type Reach,
} from '../att/link.ts';
import type { BoardConnection, BoardPort, VirtualBoard } from '../board/virtual-board.ts';

export type InMemoryOptions = {
  /** Time a PDU takes from one side to the other; default 0: it arrives at once, but never within the call that sends. */
  readonly latency?: Microseconds;
  /** For the client of each connection. */
  readonly client?: GattClientOptions;
};

/** How long a client looks for a board that does not advertise. */
const scanTime = us(1_000_000);

/**
 * The link to a virtual board in the same program, without a radio: PDUs are handed over as they are. It reaches all
 * that a link can reach. A client that comes back while the board has not yet noticed that its link was lost waits until
 * it has, as a radio would make it wait. Starts the board if it is not running; closing the link leaves it running.
 */
export function inMemoryLink(board: VirtualBoard, options: InMemoryOptions = {}): Link {
  board.start();
  const { clock } = board;
  const latency = options.latency ?? us(0);
  const channels = new Map<string, MemoryChannel>();
  const stops = new Set<() => void>();

  const connect = async (identity = 'first'): Promise<Outcome<Connection>> => {
    const old = channels.get(identity);
    if (old?.isOpen === true) return failure({ kind: 'protocol', about: `client ${identity} is connected already` });
    if (old !== undefined) await clock.waitFor(old.noticed, board.table.radio.connection.timeout);
    if (!board.advertising) await advertisingOf(board);
    const channel = new MemoryChannel(clock, latency, board.table.radio.connection.timeout);
    const connection = board.connect(identity, channel);
    if (connection === undefined) return failure({ kind: 'timeout' });
    channel.open(connection);
    channels.set(identity, channel);
    return success(new GattClient(channel, clock, options.client));
  };

  const console: ConsolePort = {
    send(line) {
      clock.schedule(clock.now(), () => {
        board.type(line);
      });
    },
    onLine(listener) {
      const stop = board.onPrint(listener);
      stops.add(stop);
      return () => {
        stops.delete(stop);
        stop();
      };
    },
  };

  return {
    name: 'virtual board, in memory',
    reaches: new Set<Reach>([
      'raw-pdu',
      'error-codes',
      'mtu',
      'handles',
      'advertising',
      'link-loss',
      'second-client',
      'security',
      'console',
      ...(clock instanceof VirtualClock ? (['virtual-time'] as const) : []),
    ]),
    clock,
    advertisement() {
      const { advertising, scanResponse } = board.table;
      return Promise.resolve(
        board.advertising ? { advertising: advertising.bytes, scanResponse: scanResponse.bytes } : undefined,
      );
    },
    connect,
    console,
    async close() {
      for (const channel of channels.values()) await channel.drop('terminate');
      for (const stop of stops) stop();
      stops.clear();
    },
  };
}

/** Waits a while for the board to advertise. */
async function advertisingOf(board: VirtualBoard): Promise<void> {
  const seen = new Gate();
  const stop = board.onAdvertising((on) => {
    if (on) seen.open();
  });
  await board.clock.waitFor(seen, scanTime);
  stop();
}

/** One connection: the client's channel on one side, the board's port on the other. */
class MemoryChannel implements PduChannel, BoardPort {
  /** Opens when the board knows that the connection has ended. */
  readonly noticed = new Gate();
  readonly #clock: Clock;
  readonly #latency: Microseconds;
  readonly #supervision: Microseconds;
  #connection: BoardConnection | undefined;
  #open = false;
  #onPdu: (pdu: Bytes) => void = nobody;
  #onClose: () => void = nobody;

  constructor(clock: Clock, latency: Microseconds, supervision: Microseconds) {
    this.#clock = clock;
    this.#latency = latency;
    this.#supervision = supervision;
  }

  open(connection: BoardConnection): void {
    this.#connection = connection;
    this.#open = true;
  }

  get isOpen(): boolean {
    return this.#open;
  }

  send(pdu: Bytes): void {
    // A copy: the sender may use its octets again.
    const crossing = pdu.slice();
    this.#later(() => {
      if (this.#open) this.#connection?.send(crossing);
    });
  }

  onPdu(listener: (pdu: Bytes) => void): void {
    this.#onPdu = listener;
  }

  onClose(listener: () => void): void {
    this.#onClose = listener;
  }

  async setSecurity(security: LinkSecurity): Promise<void> {
    const done = new Gate();
    this.#later(() => {
      this.#connection?.secure(security);
      done.open();
    });
    await this.#clock.waitFor(done, us(this.#latency + 1));
  }

  async drop(how: 'terminate' | 'lose'): Promise<void> {
    if (!this.#open) return;
    this.#open = false;
    if (how === 'lose') {
      this.#clock.schedule(us(this.#clock.now() + this.#supervision), () => {
        this.#end('lost');
      });
      return;
    }
    this.#later(() => {
      this.#end('terminated');
    });
    await this.#clock.waitFor(this.noticed, us(this.#latency + 1));
  }

  /** The board sends. */
  receive(pdu: Bytes): void {
    const crossing = pdu.slice();
    this.#later(() => {
      if (this.#open) this.#onPdu(crossing);
    });
  }

  /** The board has ended the connection. */
  closed(): void {
    this.noticed.open();
    this.#later(() => {
      if (!this.#open) return;
      this.#open = false;
      this.#onClose();
    });
  }

  #end(how: 'lost' | 'terminated'): void {
    this.#connection?.end(how);
    this.noticed.open();
  }

  #later(call: () => void): void {
    this.#clock.schedule(us(this.#clock.now() + this.#latency), call);
  }
}

function nobody(): void {
  // Nobody listens yet.
}
