import { beforeEach, describe, expect, it } from 'vitest';
import { toHex } from '../base/bytes.ts';
import { VirtualClock } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import { openLink, type Connection, type Link, type Outcome, type RemoteCharacteristic } from '../att/link.ts';
import { VirtualBoard } from '../board/virtual-board.ts';
import { boardTable, valueOf } from '../../test/support/board-table.ts';
import { inMemoryLink } from './in-memory.ts';

const table = boardTable();
let clock: VirtualClock;
let board: VirtualBoard;
let link: Link;

beforeEach(() => {
  clock = new VirtualClock();
  board = new VirtualBoard(table, { clock });
  link = inMemoryLink(board);
});

function got<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.failure));
  return outcome.value;
}

async function connected(identity?: string): Promise<Connection> {
  return got(await link.connect(identity));
}

async function find(connection: Connection, id: string): Promise<RemoteCharacteristic> {
  const services = got(await connection.discover());
  const { handle } = valueOf(table, id);
  return services.flatMap((service) => service.characteristics).find((each) => each.handle === handle)!;
}

const seconds = (count: number): Promise<void> => clock.sleep(us(count * 1e6));

describe('the in-memory link', () => {
  it('advertises what the table says', async () => {
    const advertisement = await link.advertisement();
    expect(toHex(advertisement!.advertising)).toBe(toHex(table.advertising.bytes));
    expect(toHex(advertisement!.scanResponse)).toBe(toHex(table.scanResponse.bytes));
  });

  it('discovers, reads, writes and subscribes', async () => {
    const client = await connected();
    const speed = await find(client, 'speed');
    expect(toHex(got(await client.read(speed)))).toBe('3200');
    got(await client.write(speed, Uint8Array.of(100, 0)));
    expect(toHex(got(await client.read(speed)))).toBe('6400');

    const values: string[] = [];
    client.onValue(({ value, kind }) => values.push(`${kind} ${toHex(value)}`));
    got(await client.subscribe(await find(client, 'dye'), 'notify'));
    link.console!.send('set dye rhodamine');
    await clock.sleep(us(0));
    expect(values).toEqual(['notification 02']);
  });

  it('carries long values both ways', async () => {
    const client = await connected();
    const title = await find(client, 'title');
    const text = new TextEncoder().encode('a title of much more than twenty-two octets, 水 and all');
    got(await client.write(title, text));
    expect(new TextDecoder().decode(got(await client.read(title)))).toBe(new TextDecoder().decode(text));
  });

  it('shows the console, one line at a time', async () => {
    const lines: string[] = [];
    const stop = link.console!.onLine((line) => lines.push(line));
    link.console!.send('get lamp');
    await clock.sleep(us(0));
    expect(lines).toEqual(['value 0 lamp 00 false', 'done get']);
    stop();
    link.console!.send('get lamp');
    await clock.sleep(us(0));
    expect(lines).toHaveLength(2);
  });

  it('sets the security of the link', async () => {
    const client = await connected();
    const setup = await find(client, 'setup');
    expect(await client.read(setup)).toMatchObject({ ok: false, failure: { kind: 'att-error', code: 0x05 } });
    got(await client.setSecurity({ ...openLink, encrypted: true }));
    expect(toHex(got(await client.read(setup)))).toBe('010002');
  });

  it('holds two clients with subscriptions of their own', async () => {
    const first = await connected('first');
    const second = await connected('second');
    const heard: string[] = [];
    first.onValue(() => heard.push('first'));
    second.onValue(() => heard.push('second'));
    got(await first.subscribe(await find(first, 'dye'), 'notify'));
    link.console!.send('set dye rhodamine');
    await clock.sleep(us(0));
    expect(heard).toEqual(['first']);
  });

  it('refuses the same client twice at once', async () => {
    await connected('first');
    expect(await link.connect('first')).toMatchObject({ ok: false, failure: { kind: 'protocol' } });
  });

  it('says goodbye at once', async () => {
    const client = await connected();
    await client.drop('terminate');
    expect(client.isOpen).toBe(false);
    expect(board.state.clients.size).toBe(0);
    expect(clock.now()).toBe(0);
  });

  it('loses the link without the board knowing until its supervision timeout of 4 s', async () => {
    const client = await connected();
    const closed: string[] = [];
    client.onClose(() => closed.push('closed'));
    await client.drop('lose');
    expect(closed).toEqual(['closed']);
    await seconds(3.999);
    expect(board.state.clients.size).toBe(1);
    await seconds(0.001);
    expect(board.state.clients.size).toBe(0);
    expect(
      await client.read(await Promise.resolve({ kind: 'characteristic', uuid: table.values[0]!.uuid, handle: 3 })),
    ).toMatchObject({
      ok: false,
      failure: { kind: 'link-lost' },
    });
  });

  it('lets a lost client back in when the board has noticed', async () => {
    await (await connected()).drop('lose');
    await connected();
    expect(clock.now()).toBe(4_000_000);
    expect(board.state.clients.size).toBe(1);
  });

  it('hears of a connection that the board ends', async () => {
    const client = await connected();
    let closed = 0;
    client.onClose(() => closed++);
    link.console!.send('drop all');
    await clock.sleep(us(0));
    expect(closed).toBe(1);
    expect(client.isOpen).toBe(false);
    expect(await link.advertisement()).toBeDefined();
  });

  it('gives up on a board that does not advertise', async () => {
    for (const identity of ['a', 'b', 'c', 'd']) await connected(identity);
    expect(await link.connect('e')).toEqual({ ok: false, failure: { kind: 'timeout' } });
    expect(clock.now()).toBe(1_000_000);
  });

  it('takes its time with a latency', async () => {
    const slow = inMemoryLink(board, { latency: us(7_000) });
    const client = got(await slow.connect('slow'));
    got(await client.exchangeMtu(60));
    expect(clock.now()).toBe(14_000);
    await client.drop('terminate');
    expect(clock.now()).toBe(21_000);
  });

  it('closes with all its connections', async () => {
    await connected('a');
    await connected('b');
    await link.close();
    expect(board.state.clients.size).toBe(0);
  });
});

describe('a client with a bound on its transcript', () => {
  it('keeps the newest packets, and tells of each as it crosses', async () => {
    const crossed: string[] = [];
    const bounded = inMemoryLink(board, { client: { keep: 10, onCrossed: ({ pdu }) => crossed.push(toHex(pdu)) } });
    const client = got(await bounded.connect());
    const all: string[] = [];
    for (let i = 0; i < 100; i++) {
      all.push('0a0300', toHex(got(await client.exchange(Uint8Array.of(0x0a, 0x03, 0x00)))!));
    }
    expect(crossed).toEqual(all);
    expect(client.transcript.length).toBeGreaterThanOrEqual(10);
    expect(client.transcript.length).toBeLessThanOrEqual(20);
    const kept = client.transcript.map(({ pdu }) => toHex(pdu));
    expect(kept).toEqual(all.slice(-kept.length));
  });
});
