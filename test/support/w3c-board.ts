import type {
  Connection,
  Link,
  Outcome,
  RemoteCharacteristic,
  RemoteDescriptor,
  RemoteService,
} from '../../src/att/link.ts';
import { longUuid } from '../../src/base/uuid.ts';
import { property } from '../../src/numbers/properties.ts';
import type {
  W3cCharacteristic,
  W3cDescriptor,
  W3cDevice,
  W3cProperties,
  W3cServer,
  W3cService,
} from '../../src/links/web-bluetooth/w3c.ts';

/**
 * An implementation of the W3C interface in front of any link: for tests without a browser. It does what the document
 * says where pages trip over it: one operation at a time, a `characteristicvaluechanged` event for each read, no error
 * numbers, NetworkError after a loss.
 */
export class W3cBoard implements W3cDevice {
  readonly id = 'board';
  readonly name: string;
  readonly gatt: W3cServer;
  /** How often it was connected. */
  connects = 0;
  /** When set, connecting fails. */
  outOfReach = false;
  #connection: Connection | undefined;
  readonly #link: Link;
  readonly #listeners = new Set<() => void>();
  #busy = false;

  constructor(link: Link, name: string) {
    this.#link = link;
    this.name = name;
    const connect = (): Promise<W3cServer> => this.#connect();
    const connected = (): boolean => this.#connection?.isOpen === true;
    this.gatt = {
      get connected() {
        return connected();
      },
      connect,
      disconnect: () => {
        const connection = this.#connection;
        this.#connection = undefined;
        void connection?.drop('terminate');
      },
      getPrimaryServices: async () => {
        const services = await this.only((connection) => connection.discover());
        return services.filter(({ secondary }) => !secondary).map((service) => this.#service(service));
      },
    };
  }

  addEventListener(_type: 'gattserverdisconnected', listener: () => void): void {
    this.#listeners.add(listener);
  }

  removeEventListener(_type: 'gattserverdisconnected', listener: () => void): void {
    this.#listeners.delete(listener);
  }

  /** The radio link breaks under the page. */
  async lose(): Promise<void> {
    await this.#connection?.drop('lose');
    this.#ended();
  }

  /** Runs one operation; a second one meanwhile is refused. */
  async only<T>(operation: (connection: Connection) => Promise<Outcome<T>>): Promise<T> {
    const connection = this.#connection;
    if (connection?.isOpen !== true) throw named('NetworkError', 'GATT server is disconnected');
    if (this.#busy) throw named('NetworkError', 'an operation is already in progress');
    this.#busy = true;
    try {
      const outcome = await operation(connection);
      if (outcome.ok) return outcome.value;
      throw outcome.failure.kind === 'att-error'
        ? named('NotSupportedError', 'the operation failed')
        : named('NetworkError', outcome.failure.kind);
    } finally {
      this.#busy = false;
    }
  }

  async #connect(): Promise<W3cServer> {
    this.connects += 1;
    const outcome = this.outOfReach ? undefined : await this.#link.connect('page');
    if (outcome?.ok !== true) throw named('NetworkError', 'the device is out of range');
    this.#connection = outcome.value;
    outcome.value.onClose(() => {
      this.#ended();
    });
    return this.gatt;
  }

  #ended(): void {
    if (this.#connection === undefined) return;
    this.#connection = undefined;
    for (const listener of [...this.#listeners]) listener();
  }

  #service(remote: RemoteService): W3cService {
    const characteristics = remote.characteristics.map((one) => new BoardCharacteristic(this, this.#connection, one));
    return {
      uuid: longUuid(remote.uuid),
      isPrimary: true,
      getCharacteristics: () =>
        characteristics.length > 0 ? Promise.resolve(characteristics) : Promise.reject(named('NotFoundError', 'none')),
    };
  }
}

class BoardCharacteristic implements W3cCharacteristic {
  readonly uuid: string;
  readonly properties: W3cProperties;
  value: DataView | undefined;
  readonly #board: W3cBoard;
  readonly #remote: RemoteCharacteristic;
  readonly #listeners = new Set<() => void>();

  constructor(board: W3cBoard, connection: Connection | undefined, remote: RemoteCharacteristic) {
    this.#board = board;
    this.#remote = remote;
    this.uuid = longUuid(remote.uuid);
    const has = (bit: number): boolean => (remote.properties & bit) !== 0;
    this.properties = {
      broadcast: has(property.broadcast),
      read: has(property.read),
      writeWithoutResponse: has(property.writeWithoutResponse),
      write: has(property.write),
      notify: has(property.notify),
      indicate: has(property.indicate),
      authenticatedSignedWrites: has(property.signedWrite),
      reliableWrite: false,
      writableAuxiliaries: false,
    };
    connection?.onValue(({ handle, value }) => {
      if (handle === remote.handle) this.#changed(value);
    });
  }

  async readValue(): Promise<DataView> {
    const value = await this.#board.only((connection) => connection.read(this.#remote));
    return this.#changed(value);
  }

  writeValueWithResponse(value: Uint8Array<ArrayBuffer>): Promise<void> {
    return this.#board.only((connection) => connection.write(this.#remote, value));
  }

  writeValueWithoutResponse(value: Uint8Array<ArrayBuffer>): Promise<void> {
    return this.#board.only((connection) => connection.writeWithoutResponse(this.#remote, value));
  }

  startNotifications(): Promise<unknown> {
    const mode = this.properties.notify ? 'notify' : 'indicate';
    return this.#board.only((connection) => connection.subscribe(this.#remote, mode));
  }

  stopNotifications(): Promise<unknown> {
    return this.#board.only((connection) => connection.subscribe(this.#remote, 'off'));
  }

  getDescriptors(): Promise<W3cDescriptor[]> {
    const { descriptors } = this.#remote;
    return descriptors.length > 0
      ? Promise.resolve(descriptors.map((descriptor) => boardDescriptor(this.#board, descriptor)))
      : Promise.reject(named('NotFoundError', 'none'));
  }

  addEventListener(_type: 'characteristicvaluechanged', listener: () => void): void {
    this.#listeners.add(listener);
  }

  removeEventListener(_type: 'characteristicvaluechanged', listener: () => void): void {
    this.#listeners.delete(listener);
  }

  #changed(value: Uint8Array): DataView {
    this.value = viewOf(value);
    for (const listener of [...this.#listeners]) listener();
    return this.value;
  }
}

function boardDescriptor(board: W3cBoard, remote: RemoteDescriptor): W3cDescriptor {
  return {
    uuid: longUuid(remote.uuid),
    readValue: async () => viewOf(await board.only((connection) => connection.read(remote))),
    writeValue: (value) => board.only((connection) => connection.write(remote, value)),
  };
}

function viewOf(value: Uint8Array): DataView {
  return new DataView(value.slice().buffer);
}

function named(name: string, text: string): Error {
  const error = new Error(text);
  error.name = name;
  return error;
}
