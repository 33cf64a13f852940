import type { Bytes } from '../../base/bytes.ts';
import type { Clock } from '../../base/clock.ts';
import type { Finding } from '../../base/finding.ts';
import {
  failure,
  success,
  type Connection,
  type ConsolePort,
  type Failure,
  type Link,
  type Outcome,
  type Reach,
  type RemoteCharacteristic,
  type RemoteService,
} from '../../att/link.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import { compareWithContract } from '../../proof/compare.ts';
import type { Table } from '../../table/model.ts';
import { W3cConnection } from './connection.ts';
import { deviceRequest, hiddenFromPages } from './request.ts';
import type { W3cBluetooth, W3cDevice } from './w3c.ts';

/**
 * Asks the person for a board of the contract. In a browser this must come from a click or a key.
 *
 * @returns `undefined` when nothing was chosen
 */
export async function requestBoard(bluetooth: W3cBluetooth, table: Table): Promise<W3cDevice | undefined> {
  try {
    return await bluetooth.requestDevice(deviceRequest(table));
  } catch (error) {
    if (error instanceof Error && error.name === 'NotFoundError') return undefined;
    throw error;
  }
}

/** Boards that the person has allowed before; none where the browser forgets them. */
export async function rememberedBoards(bluetooth: W3cBluetooth): Promise<readonly W3cDevice[]> {
  return (await bluetooth.getDevices?.()) ?? [];
}

/**
 * The link to a board through the W3C interface. It reaches reads, writes and subscriptions; what an application never
 * sees there (packets, handles, error numbers, the MTU, advertising data, a radio that fails) is not among its reaches.
 *
 * @param console the board's, where one is attached beside the radio
 */
export function webBluetoothLink(device: W3cDevice, clock: Clock, console: ConsolePort | undefined): Link {
  let current: W3cConnection | undefined;
  return {
    name: `${device.name ?? 'board'}, Web Bluetooth`,
    reaches: new Set<Reach>(console === undefined ? [] : ['console']),
    clock,
    advertisement: () => Promise.resolve(undefined),
    async connect(): Promise<Outcome<Connection>> {
      if (current?.isOpen === true) return failure({ kind: 'protocol', about: 'the board is connected already' });
      if (device.gatt === undefined) return failure({ kind: 'not-reachable', about: 'the device offers no GATT' });
      try {
        current = new W3cConnection(device, await device.gatt.connect(), clock);
        return success(current);
      } catch (error) {
        return failure(connectFailure(error));
      }
    },
    console,
    async close() {
      await current?.drop();
    },
  };
}

function connectFailure(error: unknown): Failure {
  const refused = error instanceof Error && error.name === 'SecurityError';
  return refused ? { kind: 'not-reachable', about: 'the browser keeps this device from pages' } : { kind: 'timeout' };
}

/** What a board showed on being connected, compared with its contract. */
export type Inspection = {
  readonly services: readonly RemoteService[];
  readonly findings: readonly Finding[];
};

/**
 * Discovers the board, reads what presentation formats it has, and compares all that with the contract. Formats that
 * cannot be read are not compared.
 */
export async function inspectBoard(connection: Connection, table: Table): Promise<Outcome<Inspection>> {
  const discovered = await connection.discover();
  if (!discovered.ok) return discovered;
  const services = discovered.value;
  const formats = new Map<RemoteCharacteristic, Bytes>();
  for (const characteristic of services.flatMap((service) => service.characteristics)) {
    const descriptor = characteristic.descriptors.find(({ uuid }) => uuid === attributeType.presentationFormat);
    const format = descriptor === undefined ? undefined : await connection.read(descriptor);
    if (format?.ok === true) formats.set(characteristic, format.value);
    else if (format?.ok === false && format.failure.kind === 'link-lost') return format;
  }
  return success({ services, findings: compareWithContract(table, { services, formats, hidden: hiddenFromPages }) });
}
