import { batch, effect, signal, type ReadonlySignal, type Signal } from '@preact/signals';
import type { Bytes } from '../../base/bytes.ts';
import type { Failure } from '../../att/link.ts';
import type { ValueDefinition } from '../../table/model.ts';
import type { AirValue, Batch, SubscribeMode, TruthChange } from '../worker/protocol.ts';
import { board } from './board.ts';
import { ask, onNews } from './port.ts';
import { numberReader, Trace } from './trace.ts';

/** What a client did to a value last. */
export type Act = {
  readonly kind: 'read' | 'write' | 'write-without-response' | 'subscribe';
  /** What was written; `undefined` for other acts. */
  readonly value: Bytes | undefined;
  /** Not answered yet. */
  readonly pending: boolean;
  /** Why it did not succeed. */
  readonly failure: Failure | undefined;
};

/** Everything seen of one value of the running board. */
export type ValueSides = {
  readonly definition: ValueDefinition;
  /** What the board holds; `undefined` before its first tell line. Renewed at most 10 times a second. */
  readonly truth: ReadonlySignal<TruthChange | undefined>;
  /** What crossed the air last. Renewed at most 10 times a second. */
  readonly air: ReadonlySignal<AirValue | undefined>;
  /** CCCD bits: 1 notify, 2 indicate. */
  readonly subscribed: ReadonlySignal<number>;
  readonly act: ReadonlySignal<Act | undefined>;
  /** All samples of a number, for charts that draw by themselves; `undefined` for what is no number. */
  readonly traces: { readonly truth: Trace; readonly air: Trace } | undefined;
};

type Writable<T> = { -readonly [K in keyof T]: T[K] extends ReadonlySignal<infer V> ? Signal<V> : T[K] };
type Sides = Writable<ValueSides> & {
  readonly read: ((raw: Bytes) => number) | undefined;
  nextTruth: TruthChange | undefined;
  nextAir: AirValue | undefined;
};

/** The component tree follows at this period, milliseconds; charts and counts follow each batch. */
const treePeriod = 100;

const sidesNow = signal<readonly Sides[]>([]);
const boardMsNow = signal(0);
const rigNow = signal<unknown>(undefined);
const batchListeners = new Set<(news: Batch) => void>();
let boardNumber = 0;
let lastTree = Number.NEGATIVE_INFINITY;

/** One entry for each value of the running board's table, in its order; empty without a board. */
export const values: ReadonlySignal<readonly ValueSides[]> = sidesNow;

/** The board's own clock, milliseconds, renewed some 10 times a second: for ages. */
export const boardMs: ReadonlySignal<number> = boardMsNow;

/** The state of the wave tank's world (`WaveTank` of its rig), as often as `boardMs`; else `undefined`. */
export const rigState: ReadonlySignal<unknown> = rigNow;

/** Called with each batch as it comes, some 20 times a second: for canvases and charts only. Returns how to stop. */
export function onBatch(listener: (news: Batch) => void): () => void {
  batchListeners.add(listener);
  return () => {
    batchListeners.delete(listener);
  };
}

/** Reads the value over the air. The outcome is in `air` or `act`. */
export function read(index: number): Promise<Failure | undefined> {
  return act(index, 'read', undefined, (number) => ({ kind: 'read', ask: number, index }));
}

/** Writes octets as they are, also such that the board will refuse. */
export function write(index: number, value: Bytes, withResponse = true): Promise<Failure | undefined> {
  return act(index, withResponse ? 'write' : 'write-without-response', value, (number) => ({
    kind: 'write',
    ask: number,
    index,
    value,
    response: withResponse,
  }));
}

export function subscribe(index: number, mode: SubscribeMode): Promise<Failure | undefined> {
  return act(index, 'subscribe', undefined, (number) => ({ kind: 'subscribe', ask: number, index, mode }));
}

/** Subscribes to everything the running board notifies or indicates, one after the other; failures are in `act`. */
export async function subscribeToAll(): Promise<void> {
  for (const { definition, subscribed } of sidesNow.peek()) {
    if (definition.cccd === undefined || subscribed.peek() !== 0) continue;
    await subscribe(definition.index, definition.access.includes('notify') ? 'notify' : 'indicate');
  }
}

/** Takes an act's outcome off the plate. */
export function forgetAct(index: number): void {
  const sides = sidesNow.peek()[index];
  if (sides !== undefined) sides.act.value = undefined;
}

async function act(
  index: number,
  kind: Act['kind'],
  value: Bytes | undefined,
  message: Parameters<typeof ask>[0],
): Promise<Failure | undefined> {
  const sides = sidesNow.peek()[index];
  if (sides === undefined) return { kind: 'not-reachable', about: 'no board is running' };
  const started: Act = { kind, value, pending: true, failure: undefined };
  sides.act.value = started;
  const failure = await ask(message);
  batch(() => {
    showTree();
    // A later act on the same value is what its plate shows.
    if (sides.act.peek() === started) sides.act.value = { ...started, pending: false, failure };
  });
  return failure;
}

function sidesOf(definition: ValueDefinition): Sides {
  const reader = numberReader(definition.type);
  return {
    definition,
    truth: signal(undefined),
    air: signal(undefined),
    subscribed: signal(0),
    act: signal(undefined),
    traces: reader === undefined ? undefined : { truth: new Trace(), air: new Trace() },
    read: reader,
    nextTruth: undefined,
    nextAir: undefined,
  };
}

/** The world's first step comes this soon after power-up, milliseconds. */
const firstStepWithin = 1000;

function isFirstStep(before: TruthChange | undefined, change: TruthChange): boolean {
  return before?.cause === 'start' && change.cause === 'rig' && change.ms - before.ms <= firstStepWithin;
}

/** Brings the signals up to what has come in. */
function showTree(): void {
  for (const sides of sidesNow.peek()) {
    sides.truth.value = sides.nextTruth;
    sides.air.value = sides.nextAir;
  }
}

effect(() => {
  const running = board.value;
  if (running === undefined || running.number === boardNumber) return;
  boardNumber = running.number;
  sidesNow.value = running.plan.table.values.map(sidesOf);
  boardMsNow.value = 0;
});

onNews('happened', ({ batch: news }) => {
  const all = sidesNow.peek();
  for (const change of news.truth) {
    const sides = all[change.index];
    if (sides === undefined) continue;
    // What a value is before the world's first step is no movement; drawn, it would set the scale for half a minute.
    if (isFirstStep(sides.nextTruth, change)) sides.traces?.truth.clear();
    sides.nextTruth = change;
    if (sides.read !== undefined) sides.traces?.truth.add(change.ms, sides.read(change.raw));
  }
  for (const value of news.air) {
    const sides = all[value.index];
    if (sides === undefined) continue;
    sides.nextAir = value;
    if (sides.read !== undefined) sides.traces?.air.add(value.ms, sides.read(value.raw));
  }
  for (const listener of batchListeners) listener(news);
  const now = performance.now();
  if (now - lastTree < treePeriod - 1) return;
  lastTree = now;
  batch(() => {
    showTree();
    const bits = new Map(news.subscriptions);
    for (const sides of all) sides.subscribed.value = bits.get(sides.definition.index) ?? 0;
    boardMsNow.value = news.boardMs;
    rigNow.value = news.rig;
  });
});
