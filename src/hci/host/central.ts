import { noBytes, type Bytes } from '../../base/bytes.ts';
import type { Clock } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { ConnectionParameters } from '../../att/link.ts';
import type { Phy } from '../../contract/model.ts';
import { addressType, deviceKey, type DeviceAddress } from '../address.ts';
import { hciErrors, hciErrorTitle } from '../error-codes.ts';
import type { HciEvent } from '../events/codec.ts';
import type { H4Port } from '../h4-port.ts';
import type { ParameterWish } from '../l2cap-signalling.ts';
import { hasFeature, leFeature, packetTime } from './bring-up.ts';
import { won, lost, type Attempt } from './attempt.ts';
import { intervalUnits, scanUnits, timeoutUnits } from './air-units.ts';
import type { HostConnection } from './connection.ts';
import { NewsDesk } from './news.ts';
import { deviceOf, merged, type Sighting } from './sighting.ts';
import { anyLength, Host, type HostOptions } from './host.ts';
import { phyRequests } from './phy.ts';

export type CentralOptions = HostOptions & {
  /** Scan interval and window; default 60 ms both: all the time. */
  readonly scan?: { readonly interval: Microseconds; readonly window: Microseconds };
};

/** A range of connection parameters to ask for. */
export type WishedParameters = {
  readonly interval: { readonly min: Microseconds; readonly max: Microseconds };
  readonly latency: number;
  readonly timeout: Microseconds;
  /** Sending and receiving; default 1M. */
  readonly phy?: Phy | undefined;
};

/** How often a connection is tried that the other side does not answer on (Core Vol 1 Part F 2.61). */
const attempts = 5;

/** How long a controller takes at most to do what does not depend on a peer. */
const controllerTime = us(3_000_000);

/** The central on one controller: finds devices, connects to them, and runs the links. */
export class Central {
  readonly host: Host;
  readonly #clock: Clock;
  readonly #scan: { readonly interval: Microseconds; readonly window: Microseconds };
  readonly #news: NewsDesk;
  #scanning: ((event: HciEvent & { kind: 'le-advertising-report' }) => void) | undefined;

  constructor(port: H4Port, clock: Clock, options: CentralOptions = {}) {
    this.#clock = clock;
    this.#news = new NewsDesk(clock);
    this.#scan = options.scan ?? { interval: us(60_000), window: us(60_000) };
    this.host = new Host(
      port,
      clock,
      {
        up: () => {
          this.#news.tell({ kind: 'up' });
        },
        down: (about) => {
          this.#news.tell({ kind: 'down', about });
        },
        connected: (connection) => {
          // Given up in the very moment it was made: nobody would ever end it.
          if (!this.#news.tell({ kind: 'connected', connection })) this.host.disconnect(connection);
        },
        event: (event) => {
          if (event.kind === 'le-advertising-report') this.#scanning?.(event);
          else this.#news.tell({ kind: 'event', event });
        },
      },
      options,
    );
  }

  /** Resets and readies the controller; nothing more than an answer when it is ready already. */
  async bringUp(): Promise<Attempt<undefined>> {
    if (this.host.facts !== undefined) return won(undefined);
    const answer = this.#news.wait<Attempt<undefined>>((news) => {
      if (news.kind === 'up') return won(undefined);
      return news.kind === 'down' ? lost(news.about) : undefined;
    });
    this.host.bringUp();
    // The host itself gives up on a controller that is silent.
    return (await answer.within(us(60_000_000))) ?? lost('the controller is not ready after a minute', true);
  }

  /**
   * Listens for advertising and asks for scan responses, until `found` or for `limit`.
   *
   * @param found called for what is heard of a device so far, each time more is; true ends the scan
   * @returns everything that was heard, in the order first heard
   */
  async scan(found: (sighting: Sighting) => boolean, limit: Microseconds): Promise<Attempt<readonly Sighting[]>> {
    const ready = await this.bringUp();
    if (!ready.ok) return ready;
    const heard = new Map<string, Sighting>();
    const enough = this.#news.wait<Attempt<undefined>>((news) => (news.kind === 'down' ? lost(news.about) : undefined));
    const parameters = {
      type: 1,
      interval: scanUnits(this.#scan.interval),
      window: scanUnits(this.#scan.window),
      ownAddressType: this.host.ownAddress.type,
      filterPolicy: 0,
    };
    this.#scanning = ({ reports }) => {
      for (const report of reports) {
        const sighting = merged(heard.get(deviceKey(deviceOf(report))), report, this.#clock.now());
        heard.set(deviceKey(sighting.device), sighting);
        if (found(sighting)) enough.settle(won(undefined));
      }
    };
    const begin = (status: number): void => {
      if (status !== hciErrors.success) enough.settle(lost(`the controller does not scan: ${hciErrorTitle(status)}`));
    };
    const { commander } = this.host;
    commander.complete('le-set-scan-parameters', parameters, ({ status }) => {
      begin(status);
      if (status !== hciErrors.success) return;
      commander.complete('le-set-scan-enable', { enable: 1, filterDuplicates: 0 }, (answer) => {
        begin(answer.status);
      });
    });
    const outcome = await enough.within(limit);
    this.#scanning = undefined;
    await this.#stopScanning();
    return outcome?.ok === false ? outcome : won([...heard.values()]);
  }

  /**
   * Connects to a device, which must be advertising within `limit`. A link on which the other side never answers is tried
   * again.
   */
  async connect(peer: DeviceAddress, wish: WishedParameters, limit: Microseconds): Promise<Attempt<HostConnection>> {
    const end = this.#clock.now() + limit;
    let outcome: Attempt<HostConnection> = lost('the device does not advertise', true);
    for (let i = 0; i < attempts; i++) {
      const ready = await this.bringUp();
      if (!ready.ok) return ready;
      const left = us(Math.max(0, end - this.#clock.now()));
      const made = await this.#establish(peer, wish, left);
      if (made !== 'again') return made;
      outcome = lost('the device does not answer on the connection', true);
    }
    return outcome;
  }

  /** Asks for other connection parameters; gives those in force when the controller has agreed them with the peer. */
  async update(connection: HostConnection, wish: ParameterWish): Promise<Attempt<ConnectionParameters>> {
    const answer = this.#news.wait<Attempt<ConnectionParameters>>((news) => {
      if (news.kind === 'down') return lost(news.about);
      if (news.kind !== 'event' || news.event.kind !== 'le-connection-update-complete') return undefined;
      if (news.event.handle !== connection.handle) return undefined;
      const { status } = news.event;
      return status === hciErrors.success ? won(connection.parameters) : lost(hciErrorTitle(status));
    });
    connection.onEnd((reason) => {
      answer.settle(lost(hciErrorTitle(reason)));
    });
    this.host.update(connection, wish, (status) => {
      if (status !== hciErrors.success) answer.settle(lost(hciErrorTitle(status)));
    });
    return (await answer.within(us(40_000_000))) ?? lost('the update is not complete after 40 s', true);
  }

  async #stopScanning(): Promise<void> {
    if (this.host.facts === undefined) return;
    const off = this.#news.wait<true>((news) => (news.kind === 'down' ? true : undefined));
    this.host.commander.complete('le-set-scan-enable', { enable: 0, filterDuplicates: 0 }, () => {
      off.settle(true);
    });
    await off.within(controllerTime);
  }

  async #establish(
    peer: DeviceAddress,
    wish: WishedParameters,
    limit: Microseconds,
  ): Promise<Attempt<HostConnection> | 'again'> {
    const made = this.#news.wait<Attempt<HostConnection>>((news) => {
      switch (news.kind) {
        case 'connected':
          return isPeer(news.connection, peer) ? won(news.connection) : undefined;
        case 'down':
          return lost(news.about);
        case 'event': {
          const { event } = news;
          const over = event.kind === 'le-connection-complete' || event.kind === 'le-enhanced-connection-complete';
          return over ? lost(hciErrorTitle(event.status)) : undefined;
        }
        default:
          return undefined;
      }
    });
    this.#create(peer, wish, (status) => {
      if (status !== hciErrors.success) made.settle(lost(`the controller does not connect: ${hciErrorTitle(status)}`));
    });
    let outcome = await made.within(limit);
    if (outcome === undefined) {
      // It may be made in the very moment it is given up: the controller then says so.
      this.host.commander.complete('le-create-connection-cancel', {});
      outcome = await made.within(controllerTime);
      if (outcome?.ok !== true) return lost('the device does not advertise', true);
    }
    return outcome.ok ? this.#settle(outcome.value, wish) : outcome;
  }

  #create(peer: DeviceAddress, wish: WishedParameters, done: (status: number) => void): void {
    const { interval, window } = this.#scan;
    this.host.commander.start(
      'le-create-connection',
      {
        scanInterval: scanUnits(interval),
        scanWindow: scanUnits(window),
        filterPolicy: 0,
        peerAddressType: peer.type,
        peerAddress: peer.address,
        ownAddressType: this.host.ownAddress.type,
        intervalMin: intervalUnits(wish.interval.min),
        intervalMax: intervalUnits(wish.interval.max),
        latency: wish.latency,
        timeout: timeoutUnits(wish.timeout),
        ...anyLength,
      },
      done,
    );
  }

  /** The first answer of the peer shows that the link stands; then its packets are made as long and fast as wished. */
  async #settle(connection: HostConnection, wish: WishedParameters): Promise<Attempt<HostConnection> | 'again'> {
    const answer = this.#news.wait<Attempt<HostConnection> | 'again'>((news) => {
      if (news.kind === 'down') return lost(news.about);
      if (news.kind !== 'event' || news.event.kind !== 'le-read-remote-features-complete') return undefined;
      if (news.event.handle !== connection.handle) return undefined;
      const { status, features } = news.event;
      if (status === hciErrors.success) this.#improve(connection, features, wish);
      return won(connection);
    });
    connection.onEnd((reason) => {
      const again = reason === hciErrors['failed-to-establish'];
      answer.settle(again ? 'again' : lost(`the link ended at once: ${hciErrorTitle(reason)}`));
    });
    this.host.commander.start('le-read-remote-features', { handle: connection.handle }, (status) => {
      // A controller that cannot ask: the link stands all the same.
      if (status !== hciErrors.success && connection.isOpen) answer.settle(won(connection));
    });
    return (await answer.within(us(wish.timeout + controllerTime))) ?? won(connection);
  }

  #improve(connection: HostConnection, features: Bytes, { phy = '1M' }: WishedParameters): void {
    const { facts, commander, dataLength } = this.host;
    const { handle } = connection;
    const both = (bit: number): boolean => hasFeature(features, bit) && hasFeature(facts?.features ?? noBytes, bit);
    if (both(leFeature.dataLengthExtension)) {
      const length = { handle, txOctets: dataLength, txTime: packetTime(dataLength) };
      commander.complete('le-set-data-length', length);
    }
    const { bit, options, feature } = phyRequests[phy];
    if (feature !== undefined && both(feature)) {
      commander.start('le-set-phy', { handle, allPhys: 0, txPhys: bit, rxPhys: bit, options });
    }
  }
}

/** Controllers name a resolved identity by types 2 and 3: the same device. */
function isPeer({ peer }: HostConnection, wanted: DeviceAddress): boolean {
  return peer.address === wanted.address && (peer.type & addressType.random) === (wanted.type & addressType.random);
}
