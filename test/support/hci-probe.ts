import { toHex, type Bytes } from '../../src/base/bytes.ts';
import type { VirtualClock } from '../../src/base/clock.ts';
import { us } from '../../src/base/quantity.ts';
import type { Address } from '../../src/hci/address.ts';
import {
  decodeReturns,
  encodeCommand,
  type CommandParameters,
  type CommandReturns,
  type CompletedName,
} from '../../src/hci/commands/codec.ts';
import { commands, type CommandName } from '../../src/hci/commands/registry.ts';
import { decodeEvent, type HciEvent } from '../../src/hci/events/codec.ts';
import type { H4Port } from '../../src/hci/h4-port.ts';
import { H4Reader } from '../../src/hci/h4-reader.ts';
import { encodePacket, type AclPacket } from '../../src/hci/packet.ts';

type Of<K extends HciEvent['kind']> = Extract<HciEvent, { kind: K }>;

/** A search for one device that listens all the time; 30 ms, no latency, 720 ms. */
export function creation(
  peer: Address,
  options: Partial<CommandParameters<'le-create-connection'>> = {},
): CommandParameters<'le-create-connection'> {
  return {
    scanInterval: 0x10,
    scanWindow: 0x10,
    filterPolicy: 0,
    peerAddressType: 0,
    peerAddress: peer,
    ownAddressType: 0,
    intervalMin: 24,
    intervalMax: 24,
    latency: 0,
    timeout: 72,
    eventLengthMin: 0,
    eventLengthMax: 0,
    ...options,
  };
}

/** A host that does only what a test tells it to, and keeps what it gets. */
export class HciProbe {
  readonly #port: H4Port;
  readonly #clock: VirtualClock;
  readonly events: { readonly at: number; readonly event: HciEvent }[] = [];
  readonly acl: { readonly at: number; readonly packet: AclPacket }[] = [];
  /** All octets from the controller with their times. */
  readonly log: string[] = [];
  closed = false;

  constructor(port: H4Port, clock: VirtualClock) {
    this.#port = port;
    this.#clock = clock;
    const reader = new H4Reader('host');
    port.onOctets((octets) => {
      this.log.push(`${clock.now()} ${toHex(octets)}`);
      for (const item of reader.push(octets)) {
        if (item.kind === 'event') this.events.push({ at: clock.now(), event: decodeEvent(item) });
        else if (item.kind === 'acl') this.acl.push({ at: clock.now(), packet: item });
        else throw new Error(`a host got ${item.kind}`);
      }
    });
    port.onClose(() => {
      this.closed = true;
    });
  }

  /** Sends octets and lets the controller answer at once. */
  raw(octets: Bytes): void {
    this.#port.send(octets);
    this.#clock.advance(us(0));
  }

  /** Status of the answer to a command, of either kind. */
  status<N extends CommandName>(name: N, parameters: CommandParameters<N>): number {
    const before = this.events.length;
    this.raw(encodePacket(encodeCommand(name, parameters)));
    for (const { event } of this.events.slice(before)) {
      if (event.kind === 'command-status' && event.opcode === commands[name].opcode) return event.status;
      if (event.kind === 'command-complete' && event.opcode === commands[name].opcode) return event.returns[0]!;
    }
    throw new Error(`no answer to ${name}`);
  }

  /** A command that must succeed. */
  ok<N extends CommandName>(name: N, parameters: CommandParameters<N>): void {
    const status = this.status(name, parameters);
    if (status !== 0) throw new Error(`${name}: status ${status}`);
  }

  /** Return parameters of a command that must succeed. */
  returns<N extends CompletedName>(name: N, parameters: CommandParameters<N>): CommandReturns<N> {
    this.ok(name, parameters);
    for (const { event } of [...this.events].reverse()) {
      if (event.kind !== 'command-complete' || event.opcode !== commands[name].opcode) continue;
      const { returns } = decodeReturns(name, event.returns);
      if (returns !== undefined) return returns;
    }
    throw new Error(`no return parameters of ${name}`);
  }

  /** All events of a kind so far, with their times. */
  all<K extends HciEvent['kind']>(kind: K): (Of<K> & { readonly at: number })[] {
    return this.events.filter(({ event }) => event.kind === kind).map(({ at, event }) => ({ ...(event as Of<K>), at }));
  }

  /** The last event of a kind. */
  last<K extends HciEvent['kind']>(kind: K): Of<K> & { readonly at: number } {
    const event = this.all(kind).at(-1);
    if (event === undefined) throw new Error(`no event ${kind}`);
    return event;
  }

  /** Reset, and every event unmasked. */
  bringUp(): void {
    this.ok('reset', {});
    const all = new Uint8Array(8).fill(0xff);
    this.ok('set-event-mask', { mask: all });
    this.ok('le-set-event-mask', { mask: all });
  }

  advertise(
    options: {
      readonly data?: Bytes;
      readonly scanResponse?: Bytes;
      readonly interval?: number;
      readonly type?: number;
    } = {},
  ): void {
    const interval = options.interval ?? 0xa0;
    this.ok('le-set-advertising-parameters', {
      intervalMin: interval,
      intervalMax: interval,
      type: options.type ?? 0,
      ownAddressType: 0,
      peerAddressType: 0,
      peerAddress: '00:00:00:00:00:00',
      channelMap: 7,
      filterPolicy: 0,
    });
    this.ok('le-set-advertising-data', { data: options.data ?? Uint8Array.of(2, 1, 6) });
    this.ok('le-set-scan-response-data', { data: options.scanResponse ?? Uint8Array.of() });
    this.ok('le-set-advertising-enable', { enable: 1 });
  }

  scan(
    options: {
      readonly active?: boolean;
      readonly filter?: boolean;
      readonly interval?: number;
      readonly window?: number;
    } = {},
  ): void {
    this.ok('le-set-scan-parameters', {
      type: options.active === true ? 1 : 0,
      interval: options.interval ?? 0x10,
      window: options.window ?? 0x10,
      ownAddressType: 0,
      filterPolicy: 0,
    });
    this.ok('le-set-scan-enable', { enable: 1, filterDuplicates: options.filter === true ? 1 : 0 });
  }

  create(peer: Address, options: Partial<CommandParameters<'le-create-connection'>> = {}): void {
    this.ok('le-create-connection', creation(peer, options));
  }

  send(handle: number, data: Bytes, boundary = 0): void {
    this.raw(encodePacket({ kind: 'acl', handle, boundary, broadcast: 0, data }));
  }

  /** Data received on a connection so far, one behind the other. */
  received(handle: number): Bytes {
    return Uint8Array.from(
      this.acl.filter(({ packet }) => packet.handle === handle).flatMap(({ packet }) => [...packet.data]),
    );
  }
}
