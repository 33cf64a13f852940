import type { Clock } from '../../base/clock.ts';
import { addressType, type Address, type DeviceAddress } from '../address.ts';
import { hciErrors } from '../error-codes.ts';
import { decodeEvent, type EventParameters, type HciEvent } from '../events/codec.ts';
import type { H4Port } from '../h4-port.ts';
import { H4Reader, type H4Item } from '../h4-reader.ts';
import { fixedChannel, Reassembler, type Frame } from '../l2cap.ts';
import { isAllowedWish, type ParameterWish } from '../l2cap-signalling.ts';
import { boundary, encodePacket, type AclPacket, type HciPacket } from '../packet.ts';
import { AclQueue } from './acl-queue.ts';
import { bringUp, type ControllerFacts } from './bring-up.ts';
import { Commander } from './commander.ts';
import { HostConnection, parametersOfAir } from './connection.ts';
import { answerSignal, refusePairing } from './signalling.ts';

export type HostOptions = {
  /** A random static address to go by; default: the controller's public one. */
  readonly address?: Address | undefined;
  /** Octets of link-layer payload, 27..251; default 251. */
  readonly dataLength?: number;
  /** Which connection parameters a central grants; default all that the standard allows. */
  readonly grants?: (wish: ParameterWish) => boolean;
};

/** What becomes of a host; each is called from the clock or the port, never within a call to the host. */
export type HostListener = {
  /** The controller is ready. */
  up(): void;
  /** The controller failed, was reset or has gone; every connection has ended as lost. `about` is a sentence part. */
  down(about: string): void;
  connected(connection: HostConnection): void;
  /** What the host itself has no use for: reports, failures to connect. */
  event(event: HciEvent): void;
};

/** The longest frame that a host takes: ATT's longest PDU with room for what a peer may try. Octets. */
const longestFrame = 1024;

/**
 * What every host does over an H4 stream, whatever its role: bring-up, flow control both ways, connections and their
 * channels, the answers on the signalling and security channels.
 */
export class Host {
  readonly commander: Commander;
  readonly #listener: HostListener;
  readonly #address: Address | undefined;
  /** Octets of link-layer payload that connections shall have. */
  readonly dataLength: number;
  readonly #grants: (wish: ParameterWish) => boolean;
  #reader = new H4Reader('host');
  readonly #queue: AclQueue;
  readonly #connections = new Map<number, HostConnection>();
  readonly #reassemblers = new Map<number, Reassembler>();
  #facts: ControllerFacts | undefined;
  #gone = false;
  /** A bring-up that is under way; an answer to an older one is nobody's. */
  #attempt = 0;

  constructor(port: H4Port, clock: Clock, listener: HostListener, options: HostOptions = {}) {
    this.#listener = listener;
    this.#address = options.address;
    this.dataLength = options.dataLength ?? 251;
    this.#grants = options.grants ?? isAllowedWish;
    const send = (packet: HciPacket): void => {
      port.send(encodePacket(packet));
    };
    this.commander = new Commander(send, clock, (name) => {
      this.#fail(`the controller does not answer ${name}`);
    });
    this.#queue = new AclQueue(send);
    port.onOctets((octets) => {
      for (const item of this.#reader.push(octets)) this.#take(item);
    });
    port.onClose(() => {
      this.#gone = true;
      this.#fail('the controller has gone');
    });
  }

  /** What is known of the controller; `undefined` while it is not ready. */
  get facts(): ControllerFacts | undefined {
    return this.#facts;
  }

  /** The address that this host goes by, once it is up. */
  get ownAddress(): DeviceAddress {
    return this.#address === undefined
      ? { type: addressType.public, address: this.#facts?.publicAddress ?? '00:00:00:00:00:00' }
      : { type: addressType.random, address: this.#address };
  }

  get connections(): readonly HostConnection[] {
    return [...this.#connections.values()];
  }

  /** Resets the controller and readies it; `up` or `down` tells how it went. */
  bringUp(): void {
    this.#end();
    const attempt = ++this.#attempt;
    if (this.#gone) {
      this.#listener.down('the controller has gone');
      return;
    }
    bringUp(this.commander, { address: this.#address, dataLength: this.dataLength }, (facts, trouble) => {
      if (attempt !== this.#attempt) return;
      if (facts === undefined) {
        this.#fail(trouble);
        return;
      }
      this.#queue.reset(facts.aclLength, facts.aclCount);
      this.#facts = facts;
      this.#listener.up();
    });
  }

  /** Says goodbye on a connection; its end comes later. */
  disconnect(connection: HostConnection): void {
    const { handle } = connection;
    const reason = hciErrors['remote-user-terminated'];
    this.commander.start('disconnect', { handle, reason }, (status) => {
      // Gone already, though no event said so.
      if (status === hciErrors['unknown-connection']) this.#disconnected(handle, hciErrors['local-host-terminated']);
    });
  }

  /** Forgets all that there was, as if power had failed: connections end as lost, the controller is not told. */
  drop(): void {
    this.#end();
  }

  #fail(about: string): void {
    this.#end();
    this.#listener.down(about);
  }

  #end(): void {
    this.#attempt += 1;
    this.#facts = undefined;
    this.commander.reset();
    for (const handle of [...this.#connections.keys()]) this.#disconnected(handle, hciErrors['connection-timeout']);
  }

  #take(item: H4Item): void {
    switch (item.kind) {
      case 'event':
        this.#takeEvent(decodeEvent(item));
        return;
      case 'acl':
        this.#takeAcl(item);
        return;
      case 'lost-sync':
        this.#fail(`the octets from the controller make no sense (0x${item.octet.toString(16).padStart(2, '0')})`);
        return;
      default:
    }
  }

  #takeEvent(event: HciEvent): void {
    switch (event.kind) {
      case 'command-complete':
        this.commander.takeComplete(event);
        return;
      case 'command-status':
        this.commander.takeStatus(event);
        return;
      case 'number-of-completed-packets':
        for (const { handle, count } of event.completed) this.#queue.completed(handle, count);
        return;
      case 'hardware-error':
        this.#fail(`the controller reports a hardware error (${event.code})`);
        return;
      case 'le-connection-complete':
      case 'le-enhanced-connection-complete':
        if (event.status === hciErrors.success) this.#connected(event);
        else this.#listener.event(event);
        return;
      case 'disconnection-complete':
        if (event.status === hciErrors.success) this.#disconnected(event.handle, event.reason);
        return;
      case 'le-long-term-key-request':
        this.commander.complete('le-long-term-key-request-negative-reply', { handle: event.handle });
        return;
      case 'le-remote-connection-parameter-request':
        this.#decide(event);
        return;
      default:
        this.#note(event);
        this.#listener.event(event);
    }
  }

  /** What changes on a connection. */
  #note(event: HciEvent): void {
    const connection = 'handle' in event ? this.#connections.get(event.handle) : undefined;
    if (connection === undefined) return;
    if (event.kind === 'le-connection-update-complete' && event.status === hciErrors.success) {
      connection.parameters = parametersOfAir(event);
    } else if (event.kind === 'le-data-length-change') {
      connection.dataLength = { tx: event.txOctets, rx: event.rxOctets };
    } else if (event.kind === 'le-phy-update-complete' && event.status === hciErrors.success) {
      connection.phys = { tx: event.txPhy, rx: event.rxPhy };
    }
  }

  #connected(event: Omit<EventParameters<'le-connection-complete'>, 'status'>): void {
    const { handle, role, peerAddressType: type, peerAddress: address } = event;
    const parameters = parametersOfAir(event);
    const which = role === 0 ? 'central' : 'peripheral';
    const connection = new HostConnection(handle, which, { type, address }, parameters, this.#queue);
    this.#connections.set(handle, connection);
    this.#reassemblers.set(handle, new Reassembler(longestFrame));
    this.#queue.open(handle);
    this.#listener.connected(connection);
  }

  #disconnected(handle: number, reason: number): void {
    const connection = this.#connections.get(handle);
    this.#connections.delete(handle);
    this.#reassemblers.delete(handle);
    this.#queue.close(handle);
    connection?.end(reason);
  }

  /** The peer wishes other parameters by the link layer's own procedure, Core Vol 4 Part E 7.8.31. */
  #decide({ handle, ...wish }: EventParameters<'le-remote-connection-parameter-request'>): void {
    if (this.#grants(wish) && isAllowedWish(wish)) {
      this.commander.complete('le-remote-connection-parameter-request-reply', { handle, ...wish, ...anyLength });
      return;
    }
    const reason = hciErrors['unacceptable-connection-parameters'];
    this.commander.complete('le-remote-connection-parameter-request-negative-reply', { handle, reason });
  }

  #takeAcl({ handle, boundary: flag, data }: AclPacket): void {
    const connection = this.#connections.get(handle);
    const reassembler = this.#reassemblers.get(handle);
    if (connection === undefined || reassembler === undefined) return;
    const which = flag === boundary.continuing ? 'continuing' : 'first';
    for (const given of reassembler.take(which, data)) {
      if (given.kind === 'frame') this.#takeFrame(connection, given.frame);
    }
  }

  #takeFrame(connection: HostConnection, frame: Frame): void {
    const { channel, payload } = frame;
    if (channel === fixedChannel.signalling) {
      const accepts = (wish: ParameterWish): boolean => isAllowedWish(wish) && this.#grants(wish);
      const { reply, update } = answerSignal(payload, connection.role, accepts);
      if (reply !== undefined) connection.send(channel, reply);
      if (update !== undefined) this.update(connection, update);
    } else if (channel === fixedChannel.securityManager) {
      const reply = refusePairing(payload, connection.role);
      if (reply !== undefined) connection.send(channel, reply);
    }
    connection.take(frame);
  }

  /** Asks the controller for other connection parameters; `le-connection-update-complete` tells what came of it. */
  update(connection: HostConnection, wish: ParameterWish, done?: (status: number) => void): void {
    this.commander.start('le-connection-update', { handle: connection.handle, ...wish, ...anyLength }, done);
  }
}

/** No wish about the length of connection events. */
export const anyLength = { eventLengthMin: 0, eventLengthMax: 0xffff } as const;
