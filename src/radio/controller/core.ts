import { noBytes, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Random } from '../../base/random.ts';
import { deviceKey, type Address, type DeviceAddress } from '../../hci/address.ts';
import type { CommandParameters } from '../../hci/commands/codec.ts';
import { encodeEvent, type EventName, type EventParameters } from '../../hci/events/codec.ts';
import { hciErrors } from '../../hci/error-codes.ts';
import type { AclPacket, HciPacket } from '../../hci/packet.ts';
import type { Advertiser } from '../advertising/advertiser.ts';
import type { Scanner } from '../advertising/scanner.ts';
import type { Air } from '../air.ts';
import type { LinkHost, LinkSettings } from '../link/link-host.ts';
import { greatestDataLength, leastDataLength } from '../link/payload-limit.ts';
import type { ControlPlane } from '../link/procedures/control-plane.ts';
import { llid } from '../pdu/data-pdu.ts';
import { fullChannelMap } from '../pdu/channels.ts';
import type { Radio } from '../radio.ts';
import { defaultEventMask, defaultLeEventMask, unmasked } from './event-mask.ts';
import { HostFlow } from './host-flow.ts';

export type ControllerOptions = {
  /** Public address, `00:1b:dc:07:32:ef`. */
  readonly address: Address;
  /** For recordings and reports; the address if not given. */
  readonly name?: string;
  /** Octets of one ACL packet from the host, 27..251 and more; 251 if not given. */
  readonly aclLength?: number;
  /** ACL packets that the host may have waiting; 8 if not given. */
  readonly aclCount?: number;
  /** Connections at once; 16 if not given. */
  readonly connections?: number;
  /** False: a controller that knows only channel selection algorithm #1. */
  readonly channelSelection2?: boolean;
};

/** Devices that the accept list holds. */
export const acceptListSize = 16;

/** Lowest connection handle given. */
const firstHandle = 0x40;

/** What a host has set; back to this after a reset. */
function afterReset(): {
  eventMask: Bytes;
  leEventMask: Bytes;
  randomAddress: Address | undefined;
  acceptList: Map<string, DeviceAddress>;
  advertising: CommandParameters<'le-set-advertising-parameters'>;
  scan: CommandParameters<'le-set-scan-parameters'>;
  initialTxOctets: number;
  initialTxTime: number;
  txPhys: number;
  rxPhys: number;
  codedSymbols: 2 | 8;
  channelMap: Bytes;
} {
  return {
    eventMask: defaultEventMask,
    leEventMask: defaultLeEventMask,
    randomAddress: undefined,
    acceptList: new Map(),
    // Core Vol 4 Part E 7.8.5: 1.28 s, ADV_IND, all channels.
    advertising: {
      intervalMin: 0x0800,
      intervalMax: 0x0800,
      type: 0,
      ownAddressType: 0,
      peerAddressType: 0,
      peerAddress: '00:00:00:00:00:00',
      channelMap: 7,
      filterPolicy: 0,
    },
    // 7.8.10: 10 ms of every 10 ms, passive.
    scan: { type: 0, interval: 0x10, window: 0x10, ownAddressType: 0, filterPolicy: 0 },
    initialTxOctets: leastDataLength.octets,
    initialTxTime: leastDataLength.time,
    txPhys: 7,
    rxPhys: 7,
    codedSymbols: 8,
    channelMap: fullChannelMap,
  };
}

/** A host's request for a connection, while it is open. */
export type Creation = CommandParameters<'le-create-connection'>;

/** The state of one controller and what its commands work on. */
export class Core {
  readonly air: Air;
  readonly radio: Radio;
  readonly random: Random;
  readonly address: Address;
  readonly aclLength: number;
  readonly aclCount: number;
  readonly mostConnections: number;
  readonly channelSelection2: boolean;
  readonly connections = new Map<number, ControlPlane>();
  /** Packets of connections that have ended. */
  readonly past = { sent: 0, repeated: 0, heard: 0 };
  readonly peers = new Map<number, DeviceAddress>();
  readonly flow: HostFlow;
  advertiser!: Advertiser;
  scanner!: Scanner;
  /** Called when a scanner or initiator begins or ends to listen. */
  onListening: () => void = () => undefined;
  set = afterReset();
  creation: Creation | undefined;
  readonly #send: (packet: HciPacket) => void;
  /** Events that wait for the answer to a command. */
  #held: HciPacket[] | undefined;
  /** The host's ACL packets that are not yet reported as completed. */
  readonly #taken = new Map<number, number>();

  constructor(air: Air, radio: Radio, random: Random, options: ControllerOptions, send: (packet: HciPacket) => void) {
    this.air = air;
    this.radio = radio;
    this.random = random;
    this.address = options.address;
    this.aclLength = options.aclLength ?? greatestDataLength.octets;
    this.aclCount = options.aclCount ?? 8;
    this.mostConnections = options.connections ?? 16;
    this.channelSelection2 = options.channelSelection2 ?? true;
    this.#send = send;
    this.flow = new HostFlow((packet) => {
      this.#out(packet);
    });
  }

  get now(): Microseconds {
    return this.air.clock.now();
  }

  /** Bits of LE features. Core Vol 6 Part B 4.6. */
  get features(): Bytes {
    // Encryption, connection parameters request, extended reject, peripheral-initiated features, data length; 2M, coded.
    const selection = this.channelSelection2 ? 0x40 : 0;
    return Uint8Array.of(0x2f, 0x09 | selection, 0, 0, 0, 0, 0, 0);
  }

  wants(name: EventName): boolean {
    return unmasked(name, this.set.eventMask, this.set.leEventMask);
  }

  event<N extends EventName>(name: N, parameters: EventParameters<N>): void {
    if (this.wants(name)) this.#out(encodeEvent(name, parameters));
  }

  /** Holds back what a command causes until it is answered. */
  answering(work: () => HciPacket | undefined): void {
    this.#held = [];
    const answer = work();
    const held = this.#held;
    this.#held = undefined;
    if (answer !== undefined) this.#send(answer);
    for (const packet of held) this.#send(packet);
  }

  /** Everything as after power-up. Connections end without a word: the others will miss them. */
  reset(): void {
    for (const plane of [...this.connections.values()]) {
      plane.link.act(() => {
        this.#forget(plane.handle);
        plane.stop();
        plane.end.open = false;
      });
    }
    this.advertiser.stop();
    this.scanner.scan(undefined);
    this.scanner.initiate(undefined);
    this.advertiser.data = noBytes;
    this.advertiser.scanResponse = noBytes;
    this.creation = undefined;
    this.set = afterReset();
    this.flow.reset();
    this.#taken.clear();
    this.onListening();
  }

  /** The own address of a type that a host has chosen; `undefined`: there is none. */
  ownAddress(type: number): DeviceAddress | undefined {
    if (type === 0) return { type, address: this.address };
    return type === 1 && this.set.randomAddress !== undefined ? { type, address: this.set.randomAddress } : undefined;
  }

  /** Whether a device passes the accept list, where that is used. */
  passes(device: DeviceAddress, listUsed: boolean): boolean {
    return !listUsed || this.set.acceptList.has(deviceKey(device));
  }

  get handleFree(): number {
    let handle = firstHandle;
    while (this.connections.has(handle)) handle += 1;
    return handle;
  }

  /** Data of the host for a connection. */
  acl(packet: AclPacket): void {
    const plane = this.connections.get(packet.handle);
    if (plane === undefined) return;
    const taken = this.#taken.get(packet.handle) ?? 0;
    let all = 0;
    for (const count of this.#taken.values()) all += count;
    if (all >= this.aclCount || packet.data.length > this.aclLength) {
      this.event('data-buffer-overflow', { linkType: 1 });
      return;
    }
    this.#taken.set(packet.handle, taken + 1);
    plane.link.act(() => {
      plane.end.queue(packet.data, packet.boundary !== 1, plane.link.now);
    });
  }

  /** How one connection speaks to this controller. */
  linkHost(handle: number): LinkHost {
    return {
      handle,
      random: this.random,
      settings: () => this.#linkSettings(),
      event: (name, parameters) => {
        this.event(name, parameters);
      },
      wants: (name) => this.wants(name),
      takesData: () => this.flow.hasRoom,
      data: (kind, payload) => {
        this.flow.data(handle, kind === llid.start, payload);
      },
      completed: (count) => {
        this.#taken.set(handle, Math.max(0, (this.#taken.get(handle) ?? 0) - count));
        this.event('number-of-completed-packets', { completed: [{ handle, count }] });
      },
      closed: (reason) => {
        this.connections.get(handle)?.stop();
        this.#forget(handle);
        this.event('disconnection-complete', { status: hciErrors.success, handle, reason });
      },
    };
  }

  #forget(handle: number): void {
    const counts = this.connections.get(handle)?.end.counts;
    this.past.sent += counts?.sent ?? 0;
    this.past.repeated += counts?.repeated ?? 0;
    this.past.heard += counts?.heard ?? 0;
    this.connections.delete(handle);
    this.peers.delete(handle);
    this.#taken.delete(handle);
    this.flow.close(handle);
  }

  #linkSettings(): LinkSettings {
    const { initialTxOctets, initialTxTime, txPhys, rxPhys, codedSymbols } = this.set;
    return {
      features: this.features,
      version: { version: linkVersion, company: companyIdentifier, subversion: 0 },
      maxRxOctets: greatestDataLength.octets,
      maxRxTime: greatestDataLength.time,
      initialTxOctets,
      initialTxTime,
      txPhys,
      rxPhys,
      codedSymbols,
    };
  }

  #out(packet: HciPacket): void {
    if (this.#held === undefined) this.#send(packet);
    else this.#held.push(packet);
  }
}

/** Version 5.3 of the standard. */
export const linkVersion = 0x0c;
/** Of no company: for use inside a house. */
export const companyIdentifier = 0xffff;

/** 0.625 ms, unit of scan and advertising intervals. */
export function slots(count: number): Microseconds {
  return us(count * 625);
}
