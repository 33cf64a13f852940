import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import { VirtualClock } from '../../base/clock.ts';
import { toHex } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import waveTank from '../../../examples/wave-tank/rig.ts';
import type { Fault } from '../../board/model.ts';
import { faultByName } from '../../board/faults/registry.ts';
import { check, type Compiled } from '../../table/check.ts';
import { planOf } from './board-plan.ts';
import { BoardSession } from './board-session.ts';
import { modelBoard } from './model-board.ts';
import type { AirValue, Batch, FromWorker, LinkState, TruthChange } from './protocol.ts';

const text = readFileSync(new URL('../../../examples/wave-tank/contract.yaml', import.meta.url), 'utf8');
const plan = planOf(check(text).value as Compiled);
const { table } = plan;
const indexOf = (id: string): number => table.values.find((value) => value.id === id)!.index;

let clock: VirtualClock;
let posted: FromWorker[];
let session: BoardSession;

function start(fault?: Fault): void {
  clock = new VirtualClock();
  posted = [];
  session = new BoardSession({
    plan,
    open: modelBoard({ table, world: { word: 'wave-tank', rig: waveTank }, fault, seed: 1, clock }),
    clock,
    post: (message) => posted.push(message),
  });
  session.announce();
}

beforeEach(() => {
  start();
});

const pass = (ms: number): void => {
  clock.advance(us(ms * 1000));
};
const links = (): readonly LinkState[] => posted.flatMap((message) => (message.kind === 'link' ? [message.state] : []));
const batches = (): readonly Batch[] =>
  posted.flatMap((message) => (message.kind === 'happened' ? [message.batch] : []));
const truth = (id: string): readonly TruthChange[] =>
  batches().flatMap((batch) => batch.truth.filter(({ index }) => index === indexOf(id)));
const air = (id: string): readonly AirValue[] =>
  batches().flatMap((batch) => batch.air.filter(({ index }) => index === indexOf(id)));

describe('a board with the page as its central', () => {
  it('advertises first, and is told of as soon as it is announced', () => {
    expect(links()).toEqual([{ kind: 'advertising' }]);
  });

  it('moves by itself: the wave tank counts crests and its level changes', () => {
    pass(10_000);
    expect(session.rig).toBe('wave-tank');
    // Half a hertz for ten seconds, less what the water takes to follow.
    expect(truth('crests').length).toBeGreaterThanOrEqual(3);
    expect(truth('level').length).toBeGreaterThan(100);
    expect(batches().length).toBe(200);
  });

  it('connects, asks for the MTU and compares the hash', async () => {
    await session.connect(185);
    expect(links().map(({ kind }) => kind)).toEqual([
      'advertising',
      'connecting',
      'connected',
      'connected',
      'connected',
    ]);
    expect(links().at(-1)).toEqual({ kind: 'connected', mtu: 185, encrypted: false, hash: 'same' });
  });

  it('keeps the default MTU when none is asked for', async () => {
    await session.connect(23);
    expect(links().at(-1)).toMatchObject({ kind: 'connected', mtu: 23 });
  });

  it('reads what the board holds, some time later', async () => {
    await session.connect(185);
    expect(await session.read(indexOf('paddle'))).toBeUndefined();
    session.flush();
    expect(air('paddle').map(({ how, raw }) => `${how} ${toHex(raw)}`)).toEqual(['read 3200']);
    // There and back, half an interval of 30 ms each way, after as much for the MTU and the hash.
    expect(air('paddle')[0]!.ms).toBeGreaterThanOrEqual(30);
  });

  it('writes, and the board tells that its truth followed', async () => {
    await session.connect(185);
    expect(await session.write(indexOf('paddle'), Uint8Array.of(200, 0), true)).toBeUndefined();
    session.flush();
    expect(truth('paddle').map(({ raw, cause }) => `${toHex(raw)} ${cause}`)).toContain('c800 air');
    expect(air('paddle').map(({ how, raw }) => `${how} ${toHex(raw)}`)).toEqual(['written c800']);
  });

  it('gives the number of a refusal, and nothing has changed', async () => {
    await session.connect(185);
    // 5.00 Hz, above the range of the contract.
    const failure = await session.write(indexOf('paddle'), Uint8Array.of(0xf4, 0x01), true);
    expect(failure).toMatchObject({ kind: 'att-error', code: 0xff });
    session.flush();
    expect(air('paddle')).toEqual([]);
    expect(truth('paddle').filter(({ cause }) => cause === 'air')).toEqual([]);
  });

  it('wants encryption where the contract does, and takes the act after it', async () => {
    await session.connect(185);
    expect(await session.read(indexOf('calibration'))).toMatchObject({ kind: 'att-error' });
    expect(await session.secure(true)).toBeUndefined();
    expect(links().at(-1)).toMatchObject({ encrypted: true });
    expect(await session.read(indexOf('calibration'))).toBeUndefined();
  });

  it('subscribes: notifications come, each with its time, and the bits are told', async () => {
    await session.connect(185);
    expect(await session.subscribe(indexOf('level'), 'notify')).toBeUndefined();
    pass(1000);
    const notified = air('level');
    expect(notified.every(({ how }) => how === 'notified')).toBe(true);
    expect(notified.length).toBeGreaterThanOrEqual(19);
    expect(notified.length).toBeLessThanOrEqual(21);
    expect(batches().at(-1)!.subscriptions).toEqual([[indexOf('level'), 1]]);
    expect(await session.subscribe(indexOf('level'), 'off')).toBeUndefined();
    const before = air('level').length;
    pass(1000);
    expect(air('level').length).toBe(before);
    expect(batches().at(-1)!.subscriptions).toEqual([]);
  });

  it('loses the link as a radio does: the board notices at its timeout, then its failsafe acts', async () => {
    await session.connect(185);
    await session.drop('lose');
    const lost = links().at(-1)!;
    expect(lost).toMatchObject({ kind: 'lost' });
    expect(lost.kind === 'lost' ? lost.noticedAt - lost.since : 0).toBe(4000);
    pass(3900);
    expect(links().at(-1)).toEqual(lost);
    expect(truth('paddle').filter(({ cause }) => cause === 'failsafe')).toEqual([]);
    pass(200);
    expect(links().at(-1)).toEqual({ kind: 'advertising' });
    pass(2000);
    expect(truth('paddle').map(({ raw, cause }) => `${toHex(raw)} ${cause}`)).toContain('0000 failsafe');
  });

  it('reconnects after a loss as soon as the board has noticed', async () => {
    await session.connect(185);
    await session.drop('lose');
    await session.connect(185);
    expect(links().at(-1)).toMatchObject({ kind: 'connected', mtu: 185 });
    expect(clock.now()).toBeGreaterThan(4_000_000);
    // The timer of the loss is over by now and must not take the new connection for the old one.
    pass(5000);
    expect(links().at(-1)).toMatchObject({ kind: 'connected' });
  });

  it('leaves with a goodbye: the board advertises at once', async () => {
    await session.connect(185);
    await session.drop('terminate');
    expect(links().at(-1)).toEqual({ kind: 'advertising' });
  });

  it('says that acts need a connection', async () => {
    expect(await session.read(0)).toMatchObject({ kind: 'not-reachable' });
    expect(await session.secure(true)).toMatchObject({ kind: 'not-reachable' });
    expect(await session.exchangeMtu(64)).toMatchObject({ kind: 'not-reachable' });
  });

  it('answers on the console', () => {
    session.type('get paddle');
    pass(100);
    expect(
      batches()
        .flatMap(({ consoleLines }) => consoleLines)
        .some((line) => line.startsWith('value ')),
    ).toBe(true);
  });

  it('counts every packet but hands on only the newest', async () => {
    await session.connect(185);
    session.flush();
    const before = batches().reduce((sum, { pduCounts }) => sum + pduCounts.central + pduCounts.board, 0);
    for (let i = 0; i < 300; i++) await session.read(indexOf('paddle'));
    session.flush();
    const counted = batches().reduce((sum, { pduCounts }) => sum + pduCounts.central + pduCounts.board, 0);
    expect(counted - before).toBe(600);
    expect(Math.max(...batches().map(({ pdus }) => pdus.length))).toBeLessThanOrEqual(60);
  });

  it('says nothing more after it was stopped', async () => {
    await session.connect(185);
    session.stop();
    const { length } = posted;
    pass(10_000);
    expect(posted.length).toBe(length);
  });

  it('shows a board whose attribute table is not the contract’s', async () => {
    start(faultByName('hash-order-reversed'));
    await session.connect(185);
    expect(links().at(-1)).toMatchObject({ kind: 'connected', hash: 'different' });
  });
});
