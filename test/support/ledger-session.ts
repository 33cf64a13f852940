import { us } from '../../src/base/quantity.ts';
import { VirtualClock } from '../../src/base/clock.ts';
import { seededRandom } from '../../src/base/random.ts';
import type { Connection, RemoteCharacteristic } from '../../src/att/link.ts';
import type { Fault, Rig } from '../../src/board/model.ts';
import { VirtualBoard } from '../../src/board/virtual-board.ts';
import { Ledger } from '../../src/ledger/ledger.ts';
import { markOf, type Entry } from '../../src/ledger/entry.ts';
import type { Observation } from '../../src/ledger/observation.ts';
import { observeLink } from '../../src/ledger/observe.ts';
import { inMemoryLink } from '../../src/links/in-memory.ts';
import { compileTable } from '../../src/table/compile.ts';
import type { Table } from '../../src/table/model.ts';
import { characteristic, contract, integer, service, uint16, uint32, uint8, utf8 } from './contract-builder.ts';

const change = { kind: 'change' } as const;

/** A table with each policy of notifying and each way of writing. */
export function ledgerTable(): Table {
  const { value } = compileTable(
    contract([
      service('out', [
        // Changes every 40 ms, each of them sent.
        characteristic('count', uint32, { access: ['read', 'notify'], notify: { on: change, minSpacing: undefined } }),
        // Changes every 20 ms, sent ten times a second.
        characteristic('fast', uint16, { access: ['read', 'notify'], notify: { on: change, minSpacing: us(100_000) } }),
        // Changes at most every 300 ms.
        characteristic('slow', uint32, { access: ['read', 'notify'], notify: { on: change, minSpacing: us(50_000) } }),
        characteristic('level', integer(true, 16), {
          access: ['read', 'notify'],
          notify: { on: { kind: 'every', period: us(50_000) }, minSpacing: us(50_000) },
        }),
        characteristic('alarm', uint32, {
          access: ['read', 'indicate'],
          notify: { on: change, minSpacing: us(20_000) },
        }),
      ]),
      service('in', [
        characteristic('speed', uint16, { access: ['read', 'write'] }),
        characteristic('order', uint32, { access: ['read', 'write-without-response'] }),
        characteristic('title', utf8(40), { access: ['read', 'write'] }),
        characteristic('limit', uint8, { access: ['read', 'write'], type: integer(false, 8, { range: [0, 100] }) }),
      ]),
    ]),
  );
  if (value === undefined) throw new Error('the table of the ledger does not compile');
  return value;
}

const rig: Rig<number> = {
  every: us(10_000),
  start: () => 0,
  step(steps, world) {
    const step = steps + 1;
    if (step % 4 === 0) world.set('count', step / 4);
    if (step % 2 === 0) world.set('fast', (step / 2) % 60_000);
    if (step % 37 === 0 || step % 30 === 0) world.set('slow', step);
    if (step % 41 === 0) world.set('alarm', step);
    world.set('level', Math.round(20_000 * Math.sin(step / 30)));
    return step;
  },
};

/** A session on a virtual board, 15 ms away, with everything subscribed to, and a central that reads and writes. */
export async function recordSession(
  seconds: number,
  seed = 1,
  fault?: Fault,
): Promise<{ table: Table; observations: Observation[] }> {
  const table = ledgerTable();
  const clock = new VirtualClock();
  const board = new VirtualBoard(table, { clock, rig, fault });
  const observations: Observation[] = [];
  // The board is powered up before the link looks, so that the ledger begins with what it is told from then on.
  const raw = inMemoryLink(board, { latency: us(15_000) });
  const { link } = observeLink(raw, table, us(0), (observation) => observations.push(observation));
  clock.advance(us(123_000));
  for (const { id } of table.values) link.console?.send(`get ${id}`);
  link.console?.send('time');
  clock.advance(us(1000));
  const outcome = await link.connect();
  if (!outcome.ok) throw new Error('no connection');
  const connection = outcome.value;
  await connection.exchangeMtu(100);
  const services = await connection.discover();
  if (!services.ok) throw new Error('no services');
  const remote = new Map<string, RemoteCharacteristic>();
  for (const each of services.value.flatMap(({ characteristics }) => characteristics)) {
    const definition = table.values.find(({ handle }) => handle === each.handle);
    if (definition !== undefined) remote.set(definition.id, each);
  }
  for (const id of ['count', 'fast', 'slow', 'level']) await connection.subscribe(remote.get(id)!, 'notify');
  await connection.subscribe(remote.get('alarm')!, 'indicate');
  await useBoard(connection, remote, clock, seconds, seed);
  return { table, observations };
}

async function useBoard(
  connection: Connection,
  remote: ReadonlyMap<string, RemoteCharacteristic>,
  clock: VirtualClock,
  seconds: number,
  seed: number,
): Promise<void> {
  const random = seededRandom(seed);
  const pick = (most: number): number => random.int(most);
  const end = clock.now() + seconds * 1_000_000;
  for (let turn = 1; clock.now() < end; turn++) {
    const ids = [...remote.keys()].filter((id) => id !== 'setup');
    await connection.read(remote.get(ids[pick(ids.length)]!)!);
    clock.advance(us(pick(80_000)));
    await connection.write(remote.get('speed')!, Uint8Array.of(pick(256), turn & 255));
    clock.advance(us(pick(80_000)));
    await connection.writeWithoutResponse(remote.get('order')!, Uint8Array.of(turn & 255, turn >> 8, 0, 1));
    if (turn % 3 === 0) await connection.write(remote.get('limit')!, Uint8Array.of(101 + pick(100)));
    if (turn % 5 === 0) await connection.write(remote.get('title')!, new TextEncoder().encode(`turn ${turn}`));
    clock.advance(us(300_000 + pick(300_000)));
  }
}

/** What a ledger makes of observations: its lines, and its marks in words such as `lost count`. */
export function judge(
  table: Table,
  observations: readonly Observation[],
): { ledger: Ledger; entries: Entry[]; marks: string[] } {
  const entries: Entry[] = [];
  const ledger = new Ledger(table, { onEntry: (entry) => entries.push(entry) });
  for (const observation of observations) ledger.take(observation);
  ledger.finish();
  const marks = entries.flatMap((entry) => {
    const mark = markOf(entry);
    return mark === undefined ? [] : [`${mark} ${table.values[entry.value]!.id}`];
  });
  return { ledger, entries, marks };
}
