import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import { toHex } from '../../base/bytes.ts';
import { VirtualClock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import { seededRandom } from '../../base/random.ts';
import type { Connection, Link, Outcome, RemoteCharacteristic } from '../../att/link.ts';
import { VirtualBoard } from '../../board/virtual-board.ts';
import { runProof } from '../../proof/run.ts';
import { planProof } from '../../proof/plan.ts';
import { check } from '../../table/check.ts';
import type { Table } from '../../table/model.ts';
import { W3cBoard } from '../../../test/support/w3c-board.ts';
import { inMemoryLink } from '../in-memory.ts';
import { inspectBoard, rememberedBoards, requestBoard, webBluetoothLink } from './link.ts';
import { KeptConnection, type ReconnectState } from './reconnect.ts';
import { deviceRequest } from './request.ts';
import type { W3cBluetooth } from './w3c.ts';

const source = readFileSync('examples/wave-tank/contract.yaml', 'utf8');
const tableOf = (text: string): Table => check(text).value!.table;
const table = tableOf(source);

let clock: VirtualClock;
let board: VirtualBoard;
let device: W3cBoard;
let link: Link;

beforeEach(() => {
  clock = new VirtualClock();
  board = new VirtualBoard(table, { clock });
  device = new W3cBoard(inMemoryLink(board), 'Tank 01');
  link = webBluetoothLink(device, clock, undefined);
});

function got<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.failure));
  return outcome.value;
}

async function connectAndFind(id: string): Promise<{ connection: Connection; remote: RemoteCharacteristic }> {
  const connection = got(await link.connect());
  const { uuid } = table.values.find((value) => value.id === id)!;
  const remote = got(await connection.discover())
    .flatMap((service) => service.characteristics)
    .find((each) => each.uuid === uuid)!;
  return { connection, remote };
}

describe('asking for a board', () => {
  it('is for its advertised services and its name, with the right to all services', () => {
    const { filters, optionalServices } = deviceRequest(table);
    expect(filters).toContainEqual({ name: 'Tank 01' });
    const tank = table.services.find(({ id }) => id === 'tank')!.uuid;
    expect(filters).toContainEqual({ services: [tank] });
    // 36 lower-case characters, as the interface compares them.
    expect(optionalServices).toContain('0000180f-0000-1000-8000-00805f9b34fb');
    expect(optionalServices.filter((uuid) => !/^[0-9a-f-]{36}$/.test(uuid))).toEqual([]);
  });

  it('is over when the person chooses nothing', async () => {
    const named = (name: string): Error => Object.assign(new Error(name), { name });
    const refusing = (name: string): W3cBluetooth => ({ requestDevice: () => Promise.reject(named(name)) });
    expect(await requestBoard(refusing('NotFoundError'), table)).toBeUndefined();
    await expect(requestBoard(refusing('SecurityError'), table)).rejects.toThrow();
    expect(await rememberedBoards(refusing('x'))).toEqual([]);
  });
});

describe('the link through the W3C interface', () => {
  it('reads, writes and is told of changes, once each', async () => {
    const { connection, remote } = await connectAndFind('crests');
    const values: string[] = [];
    connection.onValue(({ kind, value, characteristic }) => {
      values.push(`${kind} ${toHex(value)}`);
      expect(characteristic).toBe(remote);
    });
    got(await connection.subscribe(remote, 'notify'));
    board.type('set crests 7');
    clock.advance(us(1_000_000));
    // The interface announces what is read like a notification; that one is nobody's.
    expect(toHex(got(await connection.read(remote)))).toBe('07000000');
    expect(values).toEqual(['notification 07000000']);
    got(await connection.subscribe(remote, 'off'));
    board.type('set crests 8');
    clock.advance(us(1_000_000));
    expect(values).toHaveLength(1);
  });

  it('tells a refused write without a number, and that the old value stays', async () => {
    const { connection, remote } = await connectAndFind('paddle');
    const before = toHex(got(await connection.read(remote)));
    expect(await connection.write(remote, Uint8Array.of(0xff, 0xff))).toEqual({
      ok: false,
      failure: { kind: 'att-error', code: undefined, handle: undefined },
    });
    expect(toHex(got(await connection.read(remote)))).toBe(before);
  });

  it('queues what is asked at once', async () => {
    const { connection, remote } = await connectAndFind('paddle');
    const reads = await Promise.all([1, 2, 3].map(() => connection.read(remote)));
    expect(reads.map((outcome) => outcome.ok)).toEqual([true, true, true]);
  });

  it('tells that the link was lost, to whoever waits and to whoever listens', async () => {
    const { connection, remote } = await connectAndFind('paddle');
    let closed = 0;
    connection.onClose(() => (closed += 1));
    await device.lose();
    expect(closed).toBe(1);
    expect(connection.isOpen).toBe(false);
    expect(await connection.read(remote)).toEqual({ ok: false, failure: { kind: 'link-lost' } });
  });

  it('passes no case that it cannot reach, and fails none', async () => {
    const result = await runProof(link, table, { cases: planProof(table) });
    const told = (word: string): number => result.results.filter(({ verdict }) => verdict === word).length;
    expect(result.results.filter(({ verdict }) => verdict === 'failed' || verdict === 'inconclusive')).toEqual([]);
    expect(told('passed')).toBeGreaterThan(60);
    expect(told('not-reachable')).toBeGreaterThan(100);
  });
});

describe('a board compared with its contract', () => {
  const findingsWith = async (edit: (text: string) => string): Promise<readonly string[]> => {
    const text = edit(source);
    expect(text).not.toBe(source);
    const connection = got(await link.connect());
    const { findings } = got(await inspectBoard(connection, tableOf(text)));
    return findings.map(({ code, message }) => `${code}: ${message}`);
  };

  it('agrees with its own', async () => {
    expect(got(await inspectBoard(got(await link.connect()), table)).findings).toEqual([]);
  });

  it('lacks what the contract has since', async () => {
    const found = await findingsWith((text) =>
      text.replace(/(\n +)- id: paddle\b/, '$1- { id: extra, label: Extra, type: uint8, slot: 200, access: [read] }$&'),
    );
    expect(found).toEqual([
      expect.stringMatching(/^board-lacks-characteristic: the board’s service `tank` has no characteristic `extra`/),
    ]);
  });

  it('has other properties and another format', async () => {
    const found = await findingsWith((text) => text.replace('scale: { decimal: -2 }', 'scale: { decimal: -3 }'));
    expect(found).toEqual([expect.stringMatching(/^board-format-differs: .*10\^-2.*10\^-3/)]);
  });
});

describe('a connection that is kept', () => {
  const states: ReconnectState[] = [];
  const kept = (): KeptConnection =>
    new KeptConnection(
      () => link.connect(),
      clock,
      { random: seededRandom(1) },
      (state) => states.push(state),
    );
  const settle = async (): Promise<void> => {
    for (let i = 0; i < 20; i++) await Promise.resolve();
  };

  beforeEach(() => {
    states.length = 0;
  });

  it('is tried again after a loss, each time later, up to half a minute, until the board is back', async () => {
    const keeper = kept();
    keeper.start();
    await settle();
    expect(keeper.state.kind).toBe('connected');
    device.outOfReach = true;
    await device.lose();
    const waits: number[] = [];
    for (let i = 0; i < 9; i++) {
      const { state } = keeper;
      if (state.kind !== 'waiting') throw new Error(state.kind);
      waits.push(state.at - clock.now());
      clock.advance(us(state.at - clock.now()));
      await settle();
    }
    waits.forEach((wait, i) => {
      const whole = Math.min(30e6, 0.5e6 * 2 ** i);
      expect(wait).toBeGreaterThanOrEqual(whole / 2);
      expect(wait).toBeLessThanOrEqual(whole);
    });
    device.outOfReach = false;
    clock.advance(us(30_000_000));
    await settle();
    expect(keeper.state.kind).toBe('connected');
    await keeper.stop();
    expect(keeper.state.kind).toBe('stopped');
    expect(device.gatt.connected).toBe(false);
  });

  it('is not taken up again once it was stopped', async () => {
    const keeper = kept();
    keeper.start();
    await keeper.stop();
    await settle();
    clock.advance(us(60_000_000));
    await settle();
    expect(keeper.state.kind).toBe('stopped');
    expect(device.gatt.connected).toBe(false);
  });
});
