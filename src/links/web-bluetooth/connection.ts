import { bug } from '../../base/bug.ts';
import { equalBytes, noBytes, type Bytes } from '../../base/bytes.ts';
import type { Clock } from '../../base/clock.ts';
import { parseUuid, type Uuid } from '../../base/uuid.ts';
import {
  failure,
  success,
  type Connection,
  type CrossedPdu,
  type Failure,
  type Outcome,
  type RemoteAttribute,
  type RemoteCharacteristic,
  type RemoteDescriptor,
  type RemoteService,
  type ValueEvent,
} from '../../att/link.ts';
import { property } from '../../numbers/properties.ts';
import type { W3cCharacteristic, W3cDescriptor, W3cDevice, W3cProperties, W3cServer, W3cService } from './w3c.ts';

/**
 * One connection through the W3C interface. Operations are queued here: implementations refuse a second one while the
 * first is under way. The interface hides handles, PDUs, the MTU and the numbers of ATT errors; what needs them fails as
 * not reachable.
 */
export class W3cConnection implements Connection {
  /** The interface shows no packets. */
  readonly transcript: readonly CrossedPdu[] = [];
  /** Not told by the interface; 23 is the least that every link has. */
  readonly mtu = 23;
  readonly #device: W3cDevice;
  readonly #server: W3cServer;
  readonly #clock: Clock;
  readonly #characteristics = new Map<RemoteAttribute, W3cCharacteristic>();
  readonly #descriptors = new Map<RemoteAttribute, W3cDescriptor>();
  readonly #valueListeners = new Set<(event: ValueEvent) => void>();
  readonly #closeListeners = new Set<() => void>();
  /** How to stop listening, by characteristic. */
  readonly #subscriptions = new Map<RemoteAttribute, () => void>();
  /** Values that came while a read of the same characteristic was under way, until it is known which is the read's. */
  readonly #held = new Map<RemoteAttribute, ValueEvent[]>();
  #queue: Promise<unknown> = Promise.resolve();
  #open = true;

  constructor(device: W3cDevice, server: W3cServer, clock: Clock) {
    this.#device = device;
    this.#server = server;
    this.#clock = clock;
    device.addEventListener('gattserverdisconnected', this.#onDisconnected);
  }

  get isOpen(): boolean {
    return this.#open && this.#server.connected;
  }

  discover(): Promise<Outcome<readonly RemoteService[]>> {
    return this.#do(async () => {
      for (const stop of this.#subscriptions.values()) stop();
      this.#subscriptions.clear();
      this.#characteristics.clear();
      this.#descriptors.clear();
      const services: RemoteService[] = [];
      for (const service of await this.#server.getPrimaryServices()) {
        services.push(await this.#discoverService(service));
      }
      return services;
    });
  }

  read(target: RemoteAttribute): Promise<Outcome<Bytes>> {
    const { characteristic, descriptor } = this.#find(target);
    if (descriptor !== undefined) return this.#do(async () => octetsOf(await descriptor.readValue()));
    if (characteristic === undefined) return notThere();
    return this.#do(() => this.#readHolding(target, characteristic));
  }

  write(target: RemoteAttribute, value: Bytes): Promise<Outcome<void>> {
    const { characteristic, descriptor } = this.#find(target);
    // A copy: the sender may use its octets again, and a shared buffer is refused.
    const octets = new Uint8Array(value);
    if (characteristic !== undefined) return this.#do(() => characteristic.writeValueWithResponse(octets));
    if (descriptor?.uuid === longClientConfiguration) {
      return Promise.resolve(notReachable('the browser writes subscriptions itself'));
    }
    if (descriptor !== undefined) return this.#do(() => descriptor.writeValue(octets));
    return notThere();
  }

  writeWithoutResponse(target: RemoteAttribute, value: Bytes): Promise<Outcome<void>> {
    const { characteristic } = this.#find(target);
    if (characteristic === undefined) return notThere();
    const octets = new Uint8Array(value);
    return this.#do(() => characteristic.writeValueWithoutResponse(octets));
  }

  subscribe(target: RemoteCharacteristic, mode: 'notify' | 'indicate' | 'off'): Promise<Outcome<void>> {
    const { characteristic } = this.#find(target);
    if (characteristic === undefined) return notThere();
    const canNotify = (target.properties & property.notify) !== 0;
    if (mode === 'indicate' && canNotify) {
      const about =
        'the interface takes notifications where a characteristic has both; indications cannot be asked for';
      return Promise.resolve(notReachable(about));
    }
    if (mode === 'off') {
      return this.#do(async () => {
        this.#subscriptions.get(target)?.();
        this.#subscriptions.delete(target);
        await characteristic.stopNotifications();
      });
    }
    return this.#do(async () => {
      // Before the request, so that a value right behind the answer is not missed.
      if (!this.#subscriptions.has(target)) this.#listen(target, characteristic, canNotify);
      try {
        await characteristic.startNotifications();
      } catch (error) {
        this.#subscriptions.get(target)?.();
        this.#subscriptions.delete(target);
        throw error;
      }
    });
  }

  onValue(listener: (event: ValueEvent) => void): () => void {
    this.#valueListeners.add(listener);
    return () => {
      this.#valueListeners.delete(listener);
    };
  }

  exchangeMtu(): Promise<Outcome<number>> {
    return Promise.resolve(notReachable('the browser agrees on the MTU itself and does not tell it'));
  }

  exchange(): Promise<Outcome<undefined>> {
    return Promise.resolve(notReachable('the interface carries no PDUs'));
  }

  /** The operating system confirms each indication; nothing here could keep it from that. */
  confirmIndications(): void {
    // Nothing to do.
  }

  setSecurity(): Promise<Outcome<void>> {
    return Promise.resolve(notReachable('the operating system pairs when a value asks for it'));
  }

  /** Both ways say goodbye: the interface cannot make a radio fail. */
  drop(): Promise<void> {
    if (this.#server.connected) this.#server.disconnect();
    this.#end();
    return Promise.resolve();
  }

  onClose(listener: () => void): () => void {
    this.#closeListeners.add(listener);
    return () => {
      this.#closeListeners.delete(listener);
    };
  }

  async #discoverService(service: W3cService): Promise<RemoteService> {
    const uuid = uuidOf(service.uuid);
    const characteristics: RemoteCharacteristic[] = [];
    for (const characteristic of await emptyIfNone(service.getCharacteristics())) {
      const descriptors: RemoteDescriptor[] = [];
      for (const descriptor of await emptyIfNone(characteristic.getDescriptors())) {
        const remote: RemoteDescriptor = { kind: 'descriptor', uuid: uuidOf(descriptor.uuid), handle: undefined };
        this.#descriptors.set(remote, descriptor);
        descriptors.push(remote);
      }
      const remote: RemoteCharacteristic = {
        kind: 'characteristic',
        uuid: uuidOf(characteristic.uuid),
        handle: undefined,
        service: uuid,
        properties: propertyBits(characteristic.properties),
        declaration: undefined,
        descriptors,
      };
      this.#characteristics.set(remote, characteristic);
      characteristics.push(remote);
    }
    return { uuid, secondary: !service.isPrimary, start: undefined, end: undefined, includes: [], characteristics };
  }

  /** The interface announces what was read as it announces a notification, right before it answers. */
  async #readHolding(target: RemoteAttribute, characteristic: W3cCharacteristic): Promise<Bytes> {
    const held: ValueEvent[] = [];
    this.#held.set(target, held);
    let read: Bytes | undefined;
    try {
      read = octetsOf(await characteristic.readValue());
      return read;
    } finally {
      this.#held.delete(target);
      const own = read === undefined ? -1 : held.findLastIndex(({ value }) => equalBytes(value, read ?? noBytes));
      held.forEach((event, i) => {
        if (i !== own) this.#tell(event);
      });
    }
  }

  #tell(event: ValueEvent): void {
    for (const listener of [...this.#valueListeners]) listener(event);
  }

  #listen(target: RemoteCharacteristic, characteristic: W3cCharacteristic, canNotify: boolean): void {
    const onChange = (): void => {
      const value = characteristic.value === undefined ? noBytes : octetsOf(characteristic.value);
      const kind = canNotify ? 'notification' : 'indication';
      const event: ValueEvent = { at: this.#clock.now(), kind, handle: undefined, characteristic: target, value };
      const held = this.#held.get(target);
      if (held === undefined) this.#tell(event);
      else held.push(event);
    };
    characteristic.addEventListener('characteristicvaluechanged', onChange);
    this.#subscriptions.set(target, () => {
      characteristic.removeEventListener('characteristicvaluechanged', onChange);
    });
  }

  #find(target: RemoteAttribute): {
    readonly characteristic: W3cCharacteristic | undefined;
    readonly descriptor: W3cDescriptor | undefined;
  } {
    return { characteristic: this.#characteristics.get(target), descriptor: this.#descriptors.get(target) };
  }

  /** Runs one operation after those before it. */
  #do<T>(operation: () => Promise<T>): Promise<Outcome<T>> {
    const turn = this.#queue.then(async (): Promise<Outcome<T>> => {
      if (!this.isOpen) return failure({ kind: 'link-lost' });
      try {
        return success(await operation());
      } catch (error) {
        return failure(this.#server.connected ? failureOf(error) : { kind: 'link-lost' });
      }
    });
    this.#queue = turn;
    return turn;
  }

  readonly #onDisconnected = (): void => {
    this.#end();
  };

  #end(): void {
    if (!this.#open) return;
    this.#open = false;
    this.#device.removeEventListener('gattserverdisconnected', this.#onDisconnected);
    for (const stop of this.#subscriptions.values()) stop();
    this.#subscriptions.clear();
    for (const listener of [...this.#closeListeners]) listener();
  }
}

const longClientConfiguration = '00002902-0000-1000-8000-00805f9b34fb';

/**
 * What an implementation's refusal means. The interface gives a name and a sentence in the browser's words, never the
 * ATT error's number: `NetworkError` that the link is gone or busy, all others that the board or the browser refused.
 */
function failureOf(error: unknown): Failure {
  const name = error instanceof Error ? error.name : '';
  if (name === 'NetworkError') return { kind: 'link-lost' };
  if (name === 'SecurityError') return { kind: 'not-reachable', about: 'the browser keeps this from pages' };
  return { kind: 'att-error', code: undefined, handle: undefined };
}

/** The interface rejects where there is nothing to list. */
async function emptyIfNone<T>(list: Promise<T[]>): Promise<readonly T[]> {
  try {
    return await list;
  } catch (error) {
    if (error instanceof Error && error.name === 'NotFoundError') return [];
    throw error;
  }
}

function propertyBits(properties: W3cProperties): number {
  const extended = properties.reliableWrite || properties.writableAuxiliaries;
  return (
    (properties.broadcast ? property.broadcast : 0) |
    (properties.read ? property.read : 0) |
    (properties.writeWithoutResponse ? property.writeWithoutResponse : 0) |
    (properties.write ? property.write : 0) |
    (properties.notify ? property.notify : 0) |
    (properties.indicate ? property.indicate : 0) |
    (properties.authenticatedSignedWrites ? property.signedWrite : 0) |
    (extended ? property.extended : 0)
  );
}

function uuidOf(text: string): Uuid {
  const uuid = parseUuid(text);
  bug(uuid !== undefined, `no UUID: ${text}`);
  return uuid;
}

function octetsOf(view: DataView): Bytes {
  return new Uint8Array(view.buffer, view.byteOffset, view.byteLength).slice();
}

function notReachable<T>(about: string): Outcome<T> {
  return failure({ kind: 'not-reachable', about });
}

function notThere<T>(): Promise<Outcome<T>> {
  return Promise.resolve(failure({ kind: 'protocol', about: 'this was not discovered on the board' }));
}
