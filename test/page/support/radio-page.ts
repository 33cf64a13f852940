// What runs in the browser of the tests over Web Bluetooth: our link in front of the browser's own `navigator.bluetooth`,
// offered to the tests as one object. Bundled by radio-browser.ts.
import type { Connection, RemoteCharacteristic } from '../../../src/att/link.ts';
import { toHex } from '../../../src/base/bytes.ts';
import { seededRandom } from '../../../src/base/random.ts';
import { us } from '../../../src/base/quantity.ts';
import {
  inspectBoard,
  rememberedBoards,
  requestBoard,
  webBluetoothLink,
} from '../../../src/links/web-bluetooth/link.ts';
import { KeptConnection } from '../../../src/links/web-bluetooth/reconnect.ts';
import type { W3cBluetooth, W3cDevice } from '../../../src/links/web-bluetooth/w3c.ts';
import { RealClock } from '../../../src/links/real-clock.ts';
import { remotesOfDiscovery } from '../../../src/proof/remote.ts';
import { check } from '../../../src/table/check.ts';
import type { Table } from '../../../src/table/model.ts';

// The compiler holds the browser's own interface to the part of it that we use.
const { bluetooth }: { bluetooth: W3cBluetooth } = navigator;
const clock = new RealClock();

let table: Table;
let keeper: KeptConnection;
let find: (id: string) => RemoteCharacteristic;
const values: string[] = [];
const states: string[] = [];

function connection(): Connection {
  const { state } = keeper;
  if (state.kind !== 'connected') throw new Error(state.kind);
  return state.connection;
}

async function open(device: W3cDevice): Promise<readonly string[]> {
  const link = webBluetoothLink(device, clock, undefined);
  const connected = await link.connect();
  if (!connected.ok) return [connected.failure.kind];
  keeper = new KeptConnection(
    () => link.connect(),
    clock,
    { random: seededRandom(1), first: us(50_000) },
    (state) => {
      states.push(state.kind);
    },
  );
  keeper.keep(connected.value);
  return inspect();
}

/** What is found on the board; the connection is then ready for the tests' acts. */
async function inspect(): Promise<readonly string[]> {
  const inspection = await inspectBoard(connection(), table);
  if (!inspection.ok) return [inspection.failure.kind];
  const remotes = remotesOfDiscovery(table, inspection.value.services);
  find = (id) => {
    const remote = remotes(table.values.find((value) => value.id === id)!);
    if (remote === undefined) throw new Error(`no ${id}`);
    return remote;
  };
  connection().onValue(({ value }) => values.push(toHex(value)));
  return inspection.value.findings.map(({ code }) => code);
}

const acts = {
  states,
  values,
  inspect,
  use(source: string): void {
    table = check(source).value!.table;
  },
  async request(): Promise<readonly string[]> {
    const device = await requestBoard(bluetooth, table);
    return device === undefined ? ['nothing chosen'] : open(device);
  },
  async remembered(): Promise<readonly string[]> {
    const [device] = await rememberedBoards(bluetooth);
    return device === undefined ? ['none'] : open(device);
  },
  async read(id: string): Promise<string> {
    const outcome = await connection().read(find(id));
    return outcome.ok ? toHex(outcome.value) : outcome.failure.kind;
  },
  async write(id: string, octets: readonly number[]): Promise<string> {
    const outcome = await connection().write(find(id), Uint8Array.from(octets));
    return outcome.ok ? 'written' : outcome.failure.kind;
  },
  async subscribe(id: string, mode: 'notify' | 'off'): Promise<string> {
    const outcome = await connection().subscribe(find(id), mode);
    return outcome.ok ? mode : outcome.failure.kind;
  },
};

export type RadioActs = typeof acts;

Object.assign(globalThis, { acts });
