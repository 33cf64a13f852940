import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import { VirtualClock } from '../../base/clock.ts';
import { toHex } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import waveTank from '../../../examples/wave-tank/rig.ts';
import { check, type Compiled } from '../../table/check.ts';
import { planOf } from './board-plan.ts';
import { BoardSession } from './board-session.ts';
import type { AirValue, Batch, FromWorker, LinkState, TruthChange } from './protocol.ts';
import { radioBoard } from './radio-board.ts';

const text = readFileSync(new URL('../../../examples/wave-tank/contract.yaml', import.meta.url), 'utf8');
const plan = planOf(check(text).value as Compiled);
const { table } = plan;
const indexOf = (id: string): number => table.values.find((value) => value.id === id)!.index;

let clock: VirtualClock;
let posted: FromWorker[];
let session: BoardSession;

async function start(kind: 'radio' | 'engine'): Promise<void> {
  clock = new VirtualClock();
  posted = [];
  const world = { word: 'wave-tank', rig: waveTank } as const;
  const made = await radioBoard(kind, { table, world, fault: undefined, seed: 1, clock });
  session = new BoardSession({
    plan,
    open: (made as Extract<typeof made, { ok: true }>).open,
    clock,
    post: (message) => posted.push(message),
  });
  session.announce();
  pass(500);
}

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

describe.each(['radio', 'engine'] as const)('a board across the virtual radio: %s', (kind) => {
  beforeEach(() => start(kind));

  it('advertises, as its console says, and its world moves', () => {
    expect(links().at(-1)).toEqual({ kind: 'advertising' });
    pass(5000);
    expect(truth('level').length).toBeGreaterThan(50);
    expect(batches().at(-1)!.rig).toMatchObject({ paddle: expect.any(Number) as number });
    expect(session.securable).toBe(false);
  });

  it('connects, writes, and is told values at its connection events', async () => {
    await session.connect(185);
    expect(links().at(-1)).toEqual({ kind: 'connected', mtu: 185, encrypted: false, hash: 'same' });
    expect(await session.write(indexOf('paddle'), Uint8Array.of(200, 0), true)).toBeUndefined();
    expect(await session.subscribe(indexOf('level'), 'notify')).toBeUndefined();
    pass(2000);
    expect(truth('paddle').map(({ raw, cause }) => `${toHex(raw)} ${cause}`)).toContain('c800 air');
    const times = new Set(air('level').map(({ ms }) => ms));
    // At an interval of 30 ms a value every 50 ms comes after 30 or 60 ms, never in between.
    const gaps = [...times].slice(1).map((ms, i) => Math.round((ms - [...times][i]!) / 30));
    expect(new Set(gaps)).toEqual(new Set([1, 2]));
    expect([...times].every((ms) => Math.abs(((((ms - [...times][0]!) % 30) + 45) % 30) - 15) <= 1)).toBe(true);
  });

  it('knows from the console what is subscribed, and forgets it with the connection', async () => {
    await session.connect(185);
    expect(await session.subscribe(indexOf('level'), 'notify')).toBeUndefined();
    pass(1000);
    expect(batches().at(-1)!.subscriptions).toEqual([[indexOf('level'), 1]]);
    expect(air('level').length).toBeGreaterThan(15);
    await session.drop('terminate');
    pass(1000);
    expect(links().at(-1)).toEqual({ kind: 'advertising' });
    expect(batches().at(-1)!.subscriptions).toEqual([]);
  });

  it('loses the link, stops the paddle by its failsafe, and can be reached again', async () => {
    await session.connect(185);
    await session.drop('lose');
    expect(links().at(-1)).toMatchObject({ kind: 'lost' });
    pass(7000);
    expect(links().at(-1)).toEqual({ kind: 'advertising' });
    expect(truth('paddle').map(({ raw, cause }) => `${toHex(raw)} ${cause}`)).toContain('0000 failsafe');
    await session.connect(185);
    expect(links().at(-1)).toMatchObject({ kind: 'connected' });
  });

  it('takes what is typed, and says nothing more once stopped', () => {
    session.type('get paddle');
    pass(100);
    expect(batches().flatMap(({ consoleLines }) => consoleLines)).toContainEqual(expect.stringMatching(/^value /));
    session.stop();
    const { length } = posted;
    pass(5000);
    expect(posted.length).toBe(length);
  });
});
