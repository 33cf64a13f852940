import { bug } from '../base/bug.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { Random } from '../base/random.ts';
import type { DeviceAddress } from '../hci/address.ts';
import type { Advertiser, ConnectionMaker } from './advertising/advertiser.ts';
import type { Advertisement, Scanner } from './advertising/scanner.ts';
import type { Air } from './air.ts';
import type { Core } from './controller/core.ts';
import { connect, greet, windowDelay } from './link/connect.ts';
import { Link } from './link/link.ts';
import { placeAnchor } from './link/place-anchor.ts';
import type { ControlPlane } from './link/procedures/control-plane.ts';
import { newAccessAddress } from './pdu/access-address.ts';
import { encodeAdvertisingPdu, encodeConnectData, type ConnectData } from './pdu/advertising-pdu.ts';
import type { Radio } from './radio.ts';

/** A request on the air, until it has ended. */
type Pending = { readonly data: ConnectData; readonly own: DeviceAddress; readonly eventLength: number };

/** Makes connections of the controllers of one room. */
export class Connector implements ConnectionMaker {
  readonly #air: Air;
  readonly #random: Random;
  readonly #cores = new Map<Radio, Core>();
  readonly #pending = new Map<Scanner, Pending>();
  /** By access address. */
  readonly links = new Map<number, Link>();
  #made = 0;
  readonly #seeded: (stream: number) => Random;

  /** @param seeded gives the random numbers of a connection by its number */
  constructor(air: Air, random: Random, seeded: (stream: number) => Random) {
    this.#air = air;
    this.#random = random;
    this.#seeded = seeded;
  }

  add(core: Core): void {
    this.#cores.set(core.radio, core);
  }

  remove(core: Core): void {
    this.#cores.delete(core.radio);
  }

  request(scanner: Scanner, advertisement: Advertisement, end: Microseconds): ReturnType<ConnectionMaker['request']> {
    const core = this.#core(scanner.radio);
    const own = scanner.initiating?.own ?? { type: 0, address: core.address };
    const { creation } = core;
    const interval = creation?.intervalMax ?? 24;
    const neighbours = [...core.radio.appointments].filter((other) => other instanceof Link);
    const data: ConnectData = {
      accessAddress: newAccessAddress(this.#random, (address) => this.links.has(address)),
      crcInit: this.#random.int(2 ** 24),
      windowSize: 1,
      windowOffset: placeAnchor(us(end + windowDelay), us(interval * 1250), neighbours),
      interval,
      latency: creation?.latency ?? 0,
      timeout: creation?.timeout ?? 100,
      channelMap: core.set.channelMap,
      // Hop increment 5..16; sleep clock accuracy 0: 251 to 500 ppm.
      hopAndAccuracy: 5 + this.#random.int(12),
    };
    // CE length in 0.625 ms; 0: the host does not care.
    const eventLength = (creation?.eventLengthMax ?? 0) === 0 ? Infinity : (creation?.eventLengthMax ?? 0) * 625;
    this.#pending.set(scanner, { data, own, eventLength });
    const pdu = encodeAdvertisingPdu('connect-ind', own, {
      peer: advertisement.from,
      data: encodeConnectData(data),
      channelSelection2: core.channelSelection2,
    });
    return { from: own, pdu };
  }

  connect(
    scanner: Scanner,
    advertiser: Advertiser,
    advertisement: Advertisement,
    end: Microseconds,
    heard: boolean,
  ): void {
    const pending = this.#pending.get(scanner);
    this.#pending.delete(scanner);
    // The host has given the search up, or the controller has gone, while the request was on the air.
    if (pending === undefined || scanner.initiating === undefined) return;
    const initiator = this.#core(scanner.radio);
    const other = this.#core(advertiser.radio);
    const { data, own } = pending;
    scanner.initiate(undefined);
    initiator.creation = undefined;
    initiator.onListening();
    const handles = { central: initiator.handleFree, peripheral: other.handleFree };
    const channelSelection2 = initiator.channelSelection2 && other.channelSelection2;
    const { link, central, peripheral } = connect({
      air: this.#air,
      random: this.#seeded(this.#made++),
      data,
      channelSelection2,
      eventLength: pending.eventLength,
      created: end,
      central: { radio: initiator.radio, host: initiator.linkHost(handles.central) },
      peripheral: { radio: other.radio, host: heard ? other.linkHost(handles.peripheral) : undefined },
    });
    this.links.set(data.accessAddress, link);
    link.onEnd = () => void this.links.delete(data.accessAddress);
    link.act(() => {
      admit(initiator, central, advertisement.from, data, channelSelection2);
      if (peripheral !== undefined) admit(other, peripheral, own, data, channelSelection2);
    });
  }

  #core(radio: Radio): Core {
    const core = this.#cores.get(radio);
    bug(core !== undefined, 'a radio without a controller');
    return core;
  }
}

/** A controller takes a new connection and tells its host. */
function admit(core: Core, plane: ControlPlane, peer: DeviceAddress, data: ConnectData, selection2: boolean): void {
  const { handle } = plane;
  core.connections.set(handle, plane);
  core.peers.set(handle, peer);
  core.event('le-connection-complete', {
    status: 0,
    handle,
    role: plane.isCentral ? 0 : 1,
    peerAddressType: peer.type,
    peerAddress: peer.address,
    interval: data.interval,
    latency: data.latency,
    timeout: data.timeout,
    clockAccuracy: 0,
  });
  core.event('le-channel-selection-algorithm', { handle, algorithm: selection2 ? 1 : 0 });
  greet(plane);
}
