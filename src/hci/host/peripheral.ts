import type { Bytes } from '../../base/bytes.ts';
import type { Cancel, Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import type { Table } from '../../table/model.ts';
import { hciErrors } from '../error-codes.ts';
import type { H4Port } from '../h4-port.ts';
import { fixedChannel, type Frame } from '../l2cap.ts';
import { encodeParameterWish, encodeSignal, signalCode, type ParameterWish } from '../l2cap-signalling.ts';
import { intervalUnits, scanUnits, timeoutUnits } from './air-units.ts';
import { hasFeature } from './bring-up.ts';
import type { HostConnection } from './connection.ts';
import { Host } from './host.ts';
import { phyRequests } from './phy.ts';

/** What a host needs of the board above it: who advertises, and who answers for a connection. */
export type ServedBoard = {
  /** Whether the board can be found and connected to. */
  readonly advertising: boolean;
  onAdvertising(listener: (on: boolean) => void): Cancel;
  /** @returns `undefined` when the board takes no client now */
  connect(peer: string, port: { receive(pdu: Bytes): void; closed(): void }): ServedConnection | undefined;
};

type ServedConnection = { send(pdu: Bytes): void; end(how: 'lost' | 'terminated'): void };

export type PeripheralOptions = {
  /** A random static address to go by; default: the controller's public one. */
  readonly address?: string | undefined;
};

/** A controller that failed is tried again after this time. */
const restart = us(1_000_000);

/** How long a peripheral leaves a new connection as it is: Core Vol 3 Part C 9.3.9, TGAP(conn_pause_peripheral). */
const pause = us(5_000_000);

/** All three advertising channels. */
const allChannels = 7;

/** Opcode of Handle Value Notification, Core Vol 3 Part F 3.4.7.1. */
const notification = 0x1b;

/**
 * Puts a board behind a controller: advertises its data while the board can be found, gives each connection's attribute
 * packets to it, and asks a central whose connection parameters are outside the contract's for others.
 */
export class Peripheral {
  readonly host: Host;
  readonly #clock: Clock;
  readonly #board: ServedBoard;
  readonly #table: Pick<Table, 'radio' | 'advertising' | 'scanResponse'>;
  readonly #served = new Map<HostConnection, ServedConnection>();
  /** What the controller was told last. */
  #advertising = false;
  #stopped = false;
  #retry: Cancel | undefined;
  readonly #quiet: Cancel;

  constructor(
    port: H4Port,
    clock: Clock,
    board: ServedBoard,
    table: Pick<Table, 'radio' | 'advertising' | 'scanResponse'>,
    options: PeripheralOptions = {},
  ) {
    this.#clock = clock;
    this.#board = board;
    this.#table = table;
    this.host = new Host(
      port,
      clock,
      {
        up: () => {
          this.#up();
        },
        down: () => {
          this.#advertising = false;
          this.#tryAgain();
        },
        connected: (connection) => {
          this.#connected(connection);
        },
        event: () => undefined,
      },
      { ...options, dataLength: table.radio.connection.dataLength },
    );
    this.#quiet = board.onAdvertising(() => {
      this.#advertise();
    });
  }

  /** Readies the controller, and begins. */
  start(): void {
    this.host.bringUp();
  }

  /** Ends every connection as lost and says nothing more. */
  stop(): void {
    this.#stopped = true;
    this.#retry?.();
    this.#quiet();
    this.host.drop();
  }

  #tryAgain(): void {
    if (this.#stopped) return;
    this.#retry?.();
    this.#retry = this.#clock.schedule(us(this.#clock.now() + restart), () => {
      this.host.bringUp();
    });
  }

  #up(): void {
    const { advertising, scanResponse, radio } = this.#table;
    const { commander, ownAddress } = this.host;
    const { min, max } = radio.advertise.interval;
    commander.complete('le-set-advertising-parameters', {
      intervalMin: scanUnits(min),
      intervalMax: scanUnits(max),
      type: 0,
      ownAddressType: ownAddress.type,
      peerAddressType: 0,
      peerAddress: '00:00:00:00:00:00',
      channelMap: allChannels,
      filterPolicy: 0,
    });
    commander.complete('le-set-advertising-data', { data: advertising.bytes });
    commander.complete('le-set-scan-response-data', { data: scanResponse.bytes });
    this.#advertising = false;
    this.#advertise();
  }

  /** Brings the controller to what the board wants. A controller without room for one more connection refuses. */
  #advertise(): void {
    const wanted = this.#board.advertising;
    if (this.#stopped || this.host.facts === undefined || wanted === this.#advertising) return;
    this.#advertising = wanted;
    this.host.commander.complete('le-set-advertising-enable', { enable: wanted ? 1 : 0 }, ({ status }) => {
      if (status !== hciErrors.success && wanted) this.#advertising = false;
    });
  }

  #connected(connection: HostConnection): void {
    // The controller stops advertising by itself, Core Vol 4 Part E 7.8.9.
    this.#advertising = false;
    const served = this.#board.connect(connection.peer.address, {
      receive: (pdu) => {
        connection.send(fixedChannel.attribute, pdu, newer(pdu));
      },
      closed: () => {
        this.#served.delete(connection);
        this.host.disconnect(connection);
      },
    });
    if (served === undefined) {
      this.host.disconnect(connection);
    } else {
      this.#served.set(connection, served);
      connection.onFrame((frame) => {
        if (frame.channel === fixedChannel.attribute) served.send(frame.payload);
      });
      this.#improve(connection);
    }
    connection.onEnd((reason) => {
      this.#served.delete(connection);
      served?.end(isLoss(reason) ? 'lost' : 'terminated');
      this.#advertise();
    });
    this.#advertise();
  }

  /** What the contract wishes of a connection and the central did not give. */
  #improve(connection: HostConnection): void {
    const { bit, options, feature } = phyRequests[this.#table.radio.connection.phy];
    const { facts, commander } = this.host;
    if (feature !== undefined && facts !== undefined && hasFeature(facts.features, feature)) {
      const { handle } = connection;
      commander.start('le-set-phy', { handle, allPhys: 0, txPhys: bit, rxPhys: bit, options });
    }
    const later = this.#clock.schedule(us(this.#clock.now() + pause), () => {
      const wish = this.#wish();
      if (!connection.isOpen || fits(connection, wish)) return;
      const data = encodeParameterWish(wish);
      const signal = { code: signalCode.parameterUpdateRequest, identifier: 1, data };
      connection.send(fixedChannel.signalling, encodeSignal(signal));
    });
    connection.onEnd(later);
  }

  #wish(): ParameterWish {
    const { interval, latency, timeout } = this.#table.radio.connection;
    return {
      intervalMin: intervalUnits(interval.min),
      intervalMax: intervalUnits(interval.max),
      latency,
      timeout: timeoutUnits(timeout),
    };
  }
}

function fits({ parameters }: HostConnection, wish: ParameterWish): boolean {
  const interval = intervalUnits(parameters.interval);
  return (
    interval >= wish.intervalMin &&
    interval <= wish.intervalMax &&
    parameters.latency === wish.latency &&
    timeoutUnits(parameters.timeout) === wish.timeout
  );
}

/** Nobody said goodbye: the supervision timeout, the link that never stood, what the controller itself broke off. */
function isLoss(reason: number): boolean {
  const goodbyes: readonly number[] = [
    hciErrors['remote-user-terminated'],
    hciErrors['remote-low-resources'],
    hciErrors['remote-power-off'],
    hciErrors['local-host-terminated'],
  ];
  return !goodbyes.includes(reason);
}

/**
 * Of one value's notifications only the newest waits its turn: a slow link then tells fewer changes, never old ones, and
 * what waits has a bound.
 */
function newer(pdu: Bytes): ((waiting: Frame) => boolean) | undefined {
  if (pdu[0] !== notification) return undefined;
  return ({ channel, payload }) =>
    channel === fixedChannel.attribute && payload[0] === notification && payload[1] === pdu[1] && payload[2] === pdu[2];
}
