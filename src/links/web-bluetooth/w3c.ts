/**
 * The part of the W3C Web Bluetooth interface that the link uses, so that any implementation of it serves: a browser's
 * `navigator.bluetooth`, or a package for Node. UUIDs are texts of 36 lower-case characters.
 *
 * Source: Web Bluetooth, Draft Community Group Report, https://webbluetoothcg.github.io/web-bluetooth/
 */
export type W3cBluetooth = {
  requestDevice(options: W3cRequest): Promise<W3cDevice>;
  /** Devices the person has allowed before; absent where the browser forgets them. */
  getDevices?(): Promise<W3cDevice[]>;
};

export type W3cRequest = {
  readonly filters: { readonly services?: string[]; readonly name?: string }[];
  readonly optionalServices: string[];
};

export type W3cDevice = {
  readonly id: string;
  readonly name?: string | undefined | null;
  readonly gatt?: W3cServer | undefined;
  addEventListener(type: 'gattserverdisconnected', listener: () => void): void;
  removeEventListener(type: 'gattserverdisconnected', listener: () => void): void;
  forget?(): Promise<void>;
};

export type W3cServer = {
  readonly connected: boolean;
  connect(): Promise<W3cServer>;
  disconnect(): void;
  getPrimaryServices(): Promise<W3cService[]>;
};

export type W3cService = {
  readonly uuid: string;
  readonly isPrimary: boolean;
  getCharacteristics(): Promise<W3cCharacteristic[]>;
};

export type W3cProperties = {
  readonly broadcast: boolean;
  readonly read: boolean;
  readonly writeWithoutResponse: boolean;
  readonly write: boolean;
  readonly notify: boolean;
  readonly indicate: boolean;
  readonly authenticatedSignedWrites: boolean;
  readonly reliableWrite: boolean;
  readonly writableAuxiliaries: boolean;
};

export type W3cCharacteristic = {
  readonly uuid: string;
  readonly properties: W3cProperties;
  readonly value?: DataView | undefined;
  readValue(): Promise<DataView>;
  writeValueWithResponse(value: Uint8Array<ArrayBuffer>): Promise<void>;
  writeValueWithoutResponse(value: Uint8Array<ArrayBuffer>): Promise<void>;
  startNotifications(): Promise<unknown>;
  stopNotifications(): Promise<unknown>;
  getDescriptors(): Promise<W3cDescriptor[]>;
  addEventListener(type: 'characteristicvaluechanged', listener: () => void): void;
  removeEventListener(type: 'characteristicvaluechanged', listener: () => void): void;
};

export type W3cDescriptor = {
  readonly uuid: string;
  readValue(): Promise<DataView>;
  writeValue(value: Uint8Array<ArrayBuffer>): Promise<void>;
};
