import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import dbus from 'dbus-next';
import type { Connection, Failure, Link, RemoteCharacteristic, RemoteDescriptor } from '../../../src/att/link.ts';
import { longUuid, shortUuidValue } from '../../../src/base/uuid.ts';
import { attError } from '../../../src/numbers/att-errors.ts';
import { property } from '../../../src/numbers/properties.ts';

const { Message, Variant } = dbus;

/**
 * The operating system's Bluetooth service, as a browser on Linux sees it on the system's D-Bus, in front of one link of
 * ours: so that an unmodified browser's `navigator.bluetooth` reaches a board of ours without a radio. The bus is a
 * private one; the browser is told its address. Interfaces and names are those of the service's public D-Bus API.
 */
export type RadioService = {
  /** For the browser's environment: DBUS_SYSTEM_BUS_ADDRESS. */
  readonly address: string;
  /** The radio link breaks. */
  dropLink(): Promise<void>;
  stop(): Promise<void>;
};

export type RadioServiceOptions = {
  readonly name: string;
  /** Services that the device advertises, 36 characters. */
  readonly advertised: readonly string[];
  /** Called before each operation reaches the link; the drop of a link in the middle of one is made here. */
  readonly onOperation?: (what: string) => Promise<void> | void;
};

/** The library's types take the call for a text. */
const errors = Message as unknown as { newError(call: Call, name: string, why: string): Call };

const interfaces = {
  adapter: 'org.bluez.Adapter1',
  device: 'org.bluez.Device1',
  service: 'org.bluez.GattService1',
  characteristic: 'org.bluez.GattCharacteristic1',
  descriptor: 'org.bluez.GattDescriptor1',
} as const;
const objectManager = 'org.freedesktop.DBus.ObjectManager';
const propertiesInterface = 'org.freedesktop.DBus.Properties';
const adapterPath = '/org/bluez/hci0';
const devicePath = `${adapterPath}/dev_C0_FF_EE_00_00_01`;
const configuration = '00002902-0000-1000-8000-00805f9b34fb';

type Properties = Record<string, InstanceType<typeof Variant>>;
type Objects = Record<string, Record<string, Properties>>;
type Call = InstanceType<typeof Message>;
/** The library's types leave it out. */
type HandlesCalls = { addMethodHandler(handler: (call: Call) => boolean): void };

/** True where a private bus can be started. @throws Error under CI when not */
export function hasBus(): boolean {
  const found = (process.env['PATH'] ?? '').split(':').some((folder) => existsSync(join(folder, 'dbus-daemon')));
  if (!found && process.env['CI'] !== undefined) throw new Error('tests over Web Bluetooth need the package dbus');
  return found;
}

export async function startRadioService(link: Link, options: RadioServiceOptions): Promise<RadioService> {
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-bus-'));
  const { address, daemon } = await startBus(folder);
  const bus = dbus.sessionBus({ busAddress: address });
  bus.on('error', () => {
    // The browser leaves without a goodbye.
  });
  await once(bus, 'connect');
  const service = new Service(bus, link, options);
  (bus as unknown as HandlesCalls).addMethodHandler((call) => service.take(call));
  await bus.requestName('org.bluez', 0);
  return {
    address,
    dropLink: () => service.dropLink('lose'),
    async stop() {
      await service.dropLink('terminate');
      bus.disconnect();
      daemon.kill('SIGKILL');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function startBus(folder: string): Promise<{ address: string; daemon: ChildProcess }> {
  const socket = join(folder, 'bus');
  const file = join(folder, 'bus.conf');
  writeFileSync(
    file,
    `<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN" "busconfig.dtd">
<busconfig><listen>unix:path=${socket}</listen><auth>EXTERNAL</auth><policy context="default"><allow user="*"/>
<allow own="*"/><allow send_destination="*" eavesdrop="true"/><allow eavesdrop="true"/></policy></busconfig>`,
  );
  // It prints its address once it listens.
  const daemon = spawn('dbus-daemon', [`--config-file=${file}`, '--nofork', '--print-address=1'], {
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  await once(daemon.stdout, 'data');
  return { address: `unix:path=${socket}`, daemon };
}

class Service {
  readonly #bus: ReturnType<typeof dbus.sessionBus>;
  readonly #link: Link;
  readonly #options: RadioServiceOptions;
  readonly #objects: Objects = {};
  /** Paths of the connected device's attributes, in the order they were shown. */
  #shown: string[] = [];
  #connection: Connection | undefined;
  readonly #characteristics = new Map<string, RemoteCharacteristic>();
  readonly #descriptors = new Map<string, { readonly remote: RemoteDescriptor; readonly owner: string }>();
  readonly #notifying = new Set<string>();
  /** Calls that wait for their answer; each is answered once. */
  readonly #open = new Set<Call>();

  constructor(bus: ReturnType<typeof dbus.sessionBus>, link: Link, options: RadioServiceOptions) {
    this.#bus = bus;
    this.#link = link;
    this.#options = options;
    this.#objects['/org/bluez'] = { 'org.bluez.AgentManager1': {}, 'org.bluez.ProfileManager1': {} };
    this.#objects[adapterPath] = {
      [interfaces.adapter]: {
        Address: text('00:11:22:33:44:55'),
        AddressType: text('public'),
        Name: text('radio'),
        Alias: text('radio'),
        Class: new Variant('u', 0),
        Powered: flag(true),
        Discoverable: flag(false),
        DiscoverableTimeout: new Variant('u', 0),
        Pairable: flag(false),
        PairableTimeout: new Variant('u', 0),
        Discovering: flag(false),
        UUIDs: new Variant('as', []),
        Modalias: text('usb:v1D6Bp0246d0540'),
      },
      'org.bluez.GattManager1': {},
      'org.bluez.LEAdvertisingManager1': {},
    };
  }

  take(message: Call): boolean {
    if (message.interface === 'org.freedesktop.DBus.Peer') return false;
    this.#open.add(message);
    this.#answer(message).catch((error: unknown) => {
      this.#refuse(message, 'Failed', String(error));
    });
    return true;
  }

  /** The order matters to browsers: no longer connected, then pending calls answered, then the objects gone. */
  async dropLink(how: 'lose' | 'terminate'): Promise<void> {
    const connection = this.#connection;
    if (connection === undefined) return;
    this.#connection = undefined;
    this.#notifying.clear();
    this.#change(devicePath, interfaces.device, { Connected: flag(false), ServicesResolved: flag(false) });
    for (const call of this.#open) {
      if (/Gatt(?:Characteristic|Descriptor)1/.test(call.interface)) this.#refuse(call, 'Failed', 'Not connected');
    }
    for (const path of this.#shown.reverse()) this.#hide(path);
    this.#shown = [];
    await connection.drop(how);
  }

  async #answer(call: Call): Promise<void> {
    const { path, interface: name, member } = call;
    const body = call.body as readonly unknown[];
    switch (`${name}.${member}`) {
      case `${objectManager}.GetManagedObjects`:
        this.#reply(call, 'a{oa{sa{sv}}}', [this.#objects]);
        return;
      case `${propertiesInterface}.GetAll`:
        this.#reply(call, 'a{sv}', [this.#objects[path]?.[body[0] as string] ?? {}]);
        return;
      case `${propertiesInterface}.Get`:
        this.#reply(call, 'v', [this.#objects[path]?.[body[0] as string]?.[body[1] as string]]);
        return;
      case `${propertiesInterface}.Set`:
        this.#reply(call);
        this.#change(path, body[0] as string, { [body[1] as string]: body[2] as InstanceType<typeof Variant> });
        return;
      case `${interfaces.adapter}.StartDiscovery`:
        this.#reply(call);
        this.#change(adapterPath, interfaces.adapter, { Discovering: flag(true) });
        this.#advertise();
        return;
      case `${interfaces.adapter}.StopDiscovery`:
        this.#reply(call);
        this.#change(adapterPath, interfaces.adapter, { Discovering: flag(false) });
        return;
      case `${interfaces.device}.Connect`:
        await this.#connect(call);
        return;
      case `${interfaces.device}.Disconnect`:
        this.#reply(call);
        await this.dropLink('terminate');
        return;
      case `${interfaces.device}.Pair`:
        this.#refuse(call, 'AuthenticationFailed', 'pairing is not supported');
        return;
      case `${interfaces.characteristic}.ReadValue`:
      case `${interfaces.descriptor}.ReadValue`:
        await this.#read(call);
        return;
      case `${interfaces.characteristic}.WriteValue`:
      case `${interfaces.descriptor}.WriteValue`:
        await this.#write(call);
        return;
      case `${interfaces.characteristic}.StartNotify`:
      case `${interfaces.characteristic}.StopNotify`:
        await this.#subscribe(call, member === 'StartNotify');
        return;
      default:
        // Agents, discovery filters and the like.
        this.#reply(call);
    }
  }

  /** Somebody looks: the device is there, or has advertised again. */
  #advertise(): void {
    if (this.#objects[devicePath] !== undefined) {
      this.#change(devicePath, interfaces.device, { RSSI: new Variant('n', -50) });
      return;
    }
    const { name, advertised } = this.#options;
    this.#show(devicePath, {
      [interfaces.device]: {
        Address: text('C0:FF:EE:00:00:01'),
        AddressType: text('random'),
        Name: text(name),
        Alias: text(name),
        Paired: flag(false),
        Trusted: flag(false),
        Blocked: flag(false),
        LegacyPairing: flag(false),
        Connected: flag(false),
        ServicesResolved: flag(false),
        RSSI: new Variant('n', -55),
        UUIDs: new Variant('as', [...advertised]),
        Adapter: new Variant('o', adapterPath),
      },
    });
  }

  async #connect(call: Call): Promise<void> {
    const outcome = await this.#link.connect('browser');
    const services = outcome.ok ? await outcome.value.discover() : outcome;
    if (!outcome.ok || !services.ok) {
      this.#refuse(call, 'Failed', 'le-connection-abort-by-local');
      return;
    }
    const connection = outcome.value;
    this.#connection = connection;
    connection.onClose(() => {
      void this.dropLink('lose');
    });
    // Before the reply: a browser that is told otherwise ends the connection at once.
    this.#change(devicePath, interfaces.device, { Connected: flag(true) });
    let count = 0;
    const next = (): string => (++count).toString(16).padStart(4, '0');
    this.#characteristics.clear();
    this.#descriptors.clear();
    for (const service of services.value) {
      if ((shortUuidValue(service.uuid) ?? 0) >= 0x1800 && (shortUuidValue(service.uuid) ?? 0) <= 0x1801) continue;
      const servicePath = `${devicePath}/service${next()}`;
      this.#reveal(servicePath, {
        [interfaces.service]: {
          UUID: text(longUuid(service.uuid)),
          Primary: flag(!service.secondary),
          Device: new Variant('o', devicePath),
          Includes: new Variant('ao', []),
        },
      });
      for (const characteristic of service.characteristics) {
        const path = `${servicePath}/char${next()}`;
        this.#characteristics.set(path, characteristic);
        this.#reveal(path, {
          [interfaces.characteristic]: {
            UUID: text(longUuid(characteristic.uuid)),
            Service: new Variant('o', servicePath),
            Value: octets(new Uint8Array(0)),
            Notifying: flag(false),
            Flags: new Variant('as', flagsOf(characteristic)),
          },
        });
        for (const descriptor of characteristic.descriptors) {
          const descriptorPath = `${path}/desc${next()}`;
          this.#descriptors.set(descriptorPath, { remote: descriptor, owner: path });
          this.#reveal(descriptorPath, {
            [interfaces.descriptor]: {
              UUID: text(longUuid(descriptor.uuid)),
              Characteristic: new Variant('o', path),
              Value: octets(new Uint8Array(0)),
              Flags: new Variant('as', ['read', 'write']),
            },
          });
        }
      }
    }
    const paths = new Map([...this.#characteristics].map(([path, { handle }]) => [handle, path]));
    connection.onValue(({ handle, value }) => {
      const path = paths.get(handle);
      if (path === undefined || !this.#notifying.has(path)) return;
      this.#change(path, interfaces.characteristic, { Value: octets(value) });
    });
    this.#change(devicePath, interfaces.device, { ServicesResolved: flag(true) });
    this.#reply(call);
  }

  async #read(call: Call): Promise<void> {
    const { path, interface: name } = call;
    await this.#options.onOperation?.('read');
    const connection = this.#connection;
    const descriptor = this.#descriptors.get(path);
    const target = descriptor?.remote ?? this.#characteristics.get(path);
    if (connection === undefined || target === undefined) return;
    let value = Uint8Array.of(this.#notifying.has(descriptor?.owner ?? '') ? 1 : 0, 0);
    if (longUuid(target.uuid) !== configuration) {
      const outcome = await connection.read(target);
      if (!outcome.ok) {
        this.#refuse(call, ...errorOf(outcome.failure));
        return;
      }
      value = new Uint8Array(outcome.value);
    }
    if (!this.#open.has(call)) return;
    // A browser takes the first change after a read for the read's own.
    this.#change(path, name, { Value: octets(value) });
    this.#reply(call, 'ay', [Buffer.from(value)]);
  }

  async #write(call: Call): Promise<void> {
    await this.#options.onOperation?.('write');
    const connection = this.#connection;
    const target = this.#descriptors.get(call.path)?.remote ?? this.#characteristics.get(call.path);
    if (connection === undefined || target === undefined) return;
    const [value, how] = call.body as [Buffer, Properties];
    const command = (how['type']?.value as string | undefined) === 'command';
    const bytes = new Uint8Array(value);
    const outcome = await (command ? connection.writeWithoutResponse(target, bytes) : connection.write(target, bytes));
    if (outcome.ok) this.#reply(call);
    else this.#refuse(call, ...errorOf(outcome.failure));
  }

  async #subscribe(call: Call, on: boolean): Promise<void> {
    const { path } = call;
    const target = this.#characteristics.get(path);
    const connection = this.#connection;
    if (target === undefined || connection === undefined) return;
    const mode = (target.properties & property.notify) !== 0 ? 'notify' : 'indicate';
    // Before the request: a value may come right behind the answer.
    if (on) this.#notifying.add(path);
    else this.#notifying.delete(path);
    const outcome = await connection.subscribe(target, on ? mode : 'off');
    if (!outcome.ok) {
      this.#notifying.delete(path);
      this.#refuse(call, ...errorOf(outcome.failure));
      return;
    }
    this.#reply(call);
    this.#change(path, interfaces.characteristic, { Notifying: flag(on) });
  }

  #reveal(path: string, object: Record<string, Properties>): void {
    this.#shown.push(path);
    this.#show(path, object);
  }

  #show(path: string, object: Record<string, Properties>): void {
    this.#objects[path] = object;
    this.#signal('/', objectManager, 'InterfacesAdded', 'oa{sa{sv}}', [path, object]);
  }

  #hide(path: string): void {
    const names = Object.keys(this.#objects[path] ?? {});
    // eslint-disable-next-line @typescript-eslint/no-dynamic-delete -- the bus library marshals plain objects only
    delete this.#objects[path];
    this.#signal('/', objectManager, 'InterfacesRemoved', 'oas', [path, names]);
  }

  #change(path: string, name: string, changed: Properties): void {
    Object.assign(this.#objects[path]?.[name] ?? {}, changed);
    this.#signal(path, propertiesInterface, 'PropertiesChanged', 'sa{sv}as', [name, changed, []]);
  }

  #signal(path: string, name: string, member: string, signature: string, body: unknown[]): void {
    this.#bus.send(Message.newSignal(path, name, member, signature, body));
  }

  #reply(call: Call, signature = '', body: unknown[] = []): void {
    if (this.#open.delete(call)) this.#bus.send(Message.newMethodReturn(call, signature, body));
  }

  #refuse(call: Call, error: string, why: string): void {
    if (this.#open.delete(call)) this.#bus.send(errors.newError(call, `org.bluez.Error.${error}`, why));
  }
}

/** The name and sentence that the service gives for an ATT error; browsers look at the name. */
function errorOf(failure: Failure): [name: string, why: string] {
  if (failure.kind !== 'att-error') return ['Failed', failure.kind];
  switch (failure.code) {
    case attError.readNotPermitted:
      return ['NotPermitted', 'Read not permitted'];
    case attError.writeNotPermitted:
      return ['NotPermitted', 'Write not permitted'];
    case attError.insufficientAuthentication:
    case attError.insufficientEncryption:
    case attError.encryptionKeySizeTooShort:
      return ['NotPermitted', 'Not paired'];
    case attError.requestNotSupported:
      return ['NotSupported', 'Operation is not supported'];
    case attError.invalidOffset:
      return ['InvalidArguments', 'Invalid offset'];
    case attError.invalidAttributeValueLength:
      return ['InvalidArguments', 'Invalid Length'];
    default:
      return ['Failed', `Operation failed with ATT error: 0x${(failure.code ?? 0).toString(16).padStart(2, '0')}`];
  }
}

function flagsOf({ properties }: RemoteCharacteristic): string[] {
  const words: readonly (readonly [number, string])[] = [
    [property.broadcast, 'broadcast'],
    [property.read, 'read'],
    [property.writeWithoutResponse, 'write-without-response'],
    [property.write, 'write'],
    [property.notify, 'notify'],
    [property.indicate, 'indicate'],
    [property.signedWrite, 'authenticated-signed-writes'],
  ];
  return words.filter(([bit]) => (properties & bit) !== 0).map(([, word]) => word);
}

function text(value: string): InstanceType<typeof Variant> {
  return new Variant('s', value);
}

function flag(value: boolean): InstanceType<typeof Variant> {
  return new Variant('b', value);
}

function octets(value: Uint8Array): InstanceType<typeof Variant> {
  return new Variant('ay', Buffer.from(value));
}
