import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bench, type BenchClient } from '../../../test/support/bench-client.ts';
import { boardTable, valueOf } from '../../../test/support/board-table.ts';
import { concat, toHex, u16le } from '../../base/bytes.ts';
import { uuidBytes } from '../../base/uuid.ts';
import type { Fault } from '../model.ts';
import { faults } from './registry.ts';

const table = boardTable();
const lastHandle = table.rows.at(-1)!.handle;

const hex = (value: number): string => toHex(u16le(value));
const handleOf = (id: string): string => hex(valueOf(table, id).handle);
const twoByte = (uuid: string): number => table.rows.find(({ type }) => type === uuid)!.handle;

/** A clock-work user who does a little of everything; what each side said, in order. */
function session(fault: Fault | undefined): readonly string[] {
  const bench = new Bench(fault === undefined ? { table } : { table, fault });
  const said: string[] = [
    toHex(bench.table.advertising.bytes),
    toHex(bench.table.scanResponse.bytes),
    ...bench.printed(),
  ];
  const clients: BenchClient[] = [];
  const note = (): void => {
    for (const client of clients) said.push(`advertising ${bench.board.advertising}`, ...client.received());
    said.push(...bench.printed());
  };
  const connect = (peer: string): BenchClient | undefined => {
    if (!bench.board.advertising) return undefined;
    const client = bench.connect(peer);
    clients.push(client);
    return client;
  };
  const ask = (client: BenchClient | undefined, ...pdus: readonly string[]): void => {
    for (const pdu of pdus) {
      said.push(`> ${pdu}`, ...(client?.ask(pdu) ?? []));
      note();
    }
  };
  const type = (...lines: readonly string[]): void => {
    for (const line of lines) {
      bench.board.type(line);
      note();
    }
  };

  const first = connect('first');
  look(first, ask);
  protocol(first, ask);
  writes(first, ask, type);
  longValues(first, ask);
  type(`set title ${'0123456789'.repeat(5)}`);

  const second = connect('second');
  ask(second, '020a00', `0c${handleOf('title')}0000`);
  ask(first, `0a${handleOf('title')}`);
  const third = connect('third');
  ask(third, '021e00', `0a${handleOf('title')}`, '023c00', `0a${handleOf('title')}`);
  third?.connection.end('terminated');

  for (const id of ['dye', 'note', 'count', 'level', 'alarm', 'samples']) {
    const bits = id === 'alarm' ? 2 : 1;
    ask(first, `12${hex(valueOf(table, id).cccd!)}${hex(bits)}`, `0a${hex(valueOf(table, id).cccd!)}`);
    bench.pass(120);
    note();
  }
  ask(second, `12${hex(valueOf(table, 'alarm').cccd!)}0100`);
  type(
    'set dye rhodamine',
    'set dye none',
    'set alarm 1',
    'set alarm 2',
    'set count 1',
    'set count 258',
    'set count 515',
  );
  type('set note a note of thirty octets, or some more', 'set samples 1, 2, 3, 260', 'set samples 257, 2, 3, 4');
  bench.pass(1000);
  note();
  ask(first, `0a${handleOf('speed')}`, '1e', `12${hex(valueOf(table, 'dye').cccd!)}0000`);
  type('set dye fluorescein');

  ask(
    first,
    `0a${handleOf('setup')}`,
    `12${handleOf('setup')}02000300`,
    `12${hex(valueOf(table, 'secret').cccd!)}0100`,
  );
  first?.encrypt();
  ask(first, `0a${handleOf('setup')}`, `12${handleOf('setup')}020003`, `12${handleOf('setup')}020063`);
  type('set secret 7');

  ask(first, `12${handleOf('speed')}c800`, `12${handleOf('lamp')}01`, `16${handleOf('title')}0000414243`);
  second?.connection.end('terminated');
  first?.connection.end('lost');
  bench.pass(500);
  note();
  const again = connect('again');
  ask(again, '023c00', '1801', `0a${handleOf('title')}`, `0a${handleOf('lamp')}`, `0a${handleOf('speed')}`);
  type('set dye rhodamine', 'list', 'clients', 'hash');
  bench.pass(15_000);
  note();
  type('list');
  return said;
}

type Ask = (client: BenchClient | undefined, ...pdus: readonly string[]) => void;

/** Discovery by every procedure, and every attribute read. */
function look(client: BenchClient | undefined, ask: Ask): void {
  const service = table.services.at(-1)!;
  ask(client, `060100ffff0028${toHex(uuidBytes(service.uuid))}`);
  for (const { start, end } of table.services) {
    ask(client, `10${hex(start)}ffff0028`, `10${hex(start)}ffff0128`, `08${hex(start)}${hex(end)}0328`);
  }
  for (let handle = 1; handle <= lastHandle; handle++) {
    ask(client, `04${hex(handle)}${hex(Math.min(handle + 3, lastHandle))}`, `0a${hex(handle)}`);
  }
  ask(client, '0801' + '00ffff2a2b', `0c${handleOf('note')}6400`);
}

function protocol(client: BenchClient | undefined, ask: Ask): void {
  ask(
    client,
    '0a0000',
    '0a00ff',
    '0409000100',
    '3f00',
    '7f00',
    '0b00',
    `d2${handleOf('speed')}c800${'00'.repeat(12)}`,
    `0a${handleOf('speed')}00`,
  );
  ask(client, `0e${handleOf('speed')}${handleOf('total')}`, `20${handleOf('speed')}${handleOf('dye')}`);
  ask(
    client,
    `12${hex(twoByte('2B29'))}05`,
    `12${hex(twoByte('2B29'))}00`,
    `12${hex(valueOf(table, 'dye').cccd!)}0200`,
  );
}

function writes(client: BenchClient | undefined, ask: Ask, type: (...lines: readonly string[]) => void): void {
  const write = (id: string, value: string): void => {
    ask(client, `12${handleOf(id)}${value}`, `0a${handleOf(id)}`);
  };
  for (const value of ['9001', '9101', '9201', '0000', '01', '010203', '0201']) write('speed', value);
  for (const value of ['00000000ffffffff', '0100000001000000']) write('total', value);
  for (const value of ['02', '03', 'ff']) write('dye', value);
  for (const value of ['05', '02']) write('modes', value);
  for (const value of ['68656c6c6f', '6e6f', 'ff', 'c3a9', '']) write('title', value);
  write('count', '01000000');
  write('lamp', '02');
  ask(client, `52${handleOf('order')}07`, `52${handleOf('speed')}0100`, `12${handleOf('order')}08`);
  type('get order', 'set level -0.5', 'list');
  ask(client, `0a${handleOf('level')}`);
}

function longValues(client: BenchClient | undefined, ask: Ask): void {
  const title = handleOf('title');
  const part = (offset: number, octets: string): string => `16${title}${hex(offset)}${octets}`;
  ask(client, part(0, '30313233343536373839616263646566'), part(16, '67'.repeat(16)), '1801');
  ask(client, `0a${title}`, `0c${title}1600`, `0c${title}2000`, `0c${title}2100`);
  ask(client, part(0, '61'), '1800', `0a${title}`, part(0, '62'), part(9, '63'), '1801', `0a${title}`, '1801');
  ask(client, `16${handleOf('blob')}000001`, part(0, '6464'), '1801', `0a${title}`, `0a${handleOf('blob')}`);
}

describe('planted faults', () => {
  it('have names, sentences and symptoms of their own', () => {
    expect(new Set(faults.map(({ name }) => name)).size).toBe(faults.length);
    expect(faults.length).toBeGreaterThanOrEqual(36);
    for (const fault of faults) {
      expect(fault.name).toMatch(/^[a-z0-9]+(-[a-z0-9]+)+$/);
      expect(fault.about).toMatch(/^[A-Z].*\.$/);
      expect(fault.symptom).toMatch(/^[A-Z`].*\.$/);
      expect(fault).toSatisfy((each: Fault) => each.table !== undefined || each.wrap !== undefined);
    }
  });

  const right = session(undefined);

  it.each(faults.map((fault) => [fault.name, fault] as const))('%s is another board', (_, fault) => {
    expect(session(fault)).not.toEqual(right);
  });

  it('take whatever a client sends', () => {
    const anyPdu = fc.uint8Array({ minLength: 0, maxLength: 30 });
    fc.assert(
      fc.property(fc.nat(faults.length - 1), fc.array(anyPdu, { maxLength: 20 }), (which, pdus) => {
        const bench = new Bench({ table, fault: faults[which]! });
        const client = bench.connect();
        for (const pdu of pdus) client.connection.send(concat(pdu));
        client.connection.end('lost');
        bench.pass(20_000);
      }),
      { numRuns: 200 },
    );
  });
});
