import { us, type Microseconds } from '../../base/quantity.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import { compared, type Basis, type Compared } from '../basis.ts';
import type { Connection } from '../air/connection.ts';
import { procedureCost } from '../air/procedures.ts';
import { fragments } from '../air/fragment.ts';
import { runLink, type Source } from '../link/link-run.ts';
import { sourcesOf, type Stream } from '../link/stream.ts';
import { quantileOf, Samples, summarise } from '../statistics.ts';
import { chanceWithinHeld, meanOfHeld, quantileOfHeld, type HeldDelay } from './held.ts';
import { delayBasis, transferDelay } from './transfer.ts';

/** Four marks of a distribution, µs. */
export type Marks = {
  readonly best: number;
  readonly median: number;
  readonly p95: number;
  /** The end; with losses there is none, and it is what one message in a million exceeds. */
  readonly worst: number;
};

/** Where a value waits for the radio, from its change to the other side. */
export type Delay = {
  readonly id: string;
  /** `change`: the board's change to the notification at the client. `write`: the client's write to the board. */
  readonly from: 'change' | 'write';
  /** False when a packet does not fit the connection interval: then nothing else is known. */
  readonly fits: boolean;
  /** Of the policy: `at-most` holds a change back, `every` waits for its turn; 0 for the first change after a rest. */
  readonly hold: { readonly least: Microseconds; readonly most: Microseconds };
  /** Closed form: the link alone, nothing else to send; without and with a hold spread evenly over its length. */
  readonly link: Marks;
  readonly whole: Marks;
  /** The closed form's mean, and that of a run on the same parameters: one message at a time. */
  readonly mean: Compared;
  /**
   * From a run in which all values are sent at their highest rates, without the hold. Its mean stands beside the closed
   * form's: the difference is what queueing adds, less what others save that keep an event open or a board awake.
   */
  readonly loaded: Marks & { readonly mean: Compared; readonly count: number };
  /** Messages that the run saw come and not arrive: more than can be carried. */
  readonly lost: number;
  /** For a plot: closed form without hold, with hold, and the loaded run; chance of at most `timeUs`. */
  readonly curve: readonly {
    readonly timeUs: number;
    readonly link: number;
    readonly whole: number;
    readonly loaded: number;
  }[];
  /** Whether the worst reaches the supervision timeout, at which the link would be lost. */
  readonly endsInTimeout: boolean;
};

export type Delays = { readonly values: readonly Delay[]; readonly basis: Basis };

/** Runs of the loaded link, each with phases of its own. */
const loadedRuns = 24;
/** How long one of them lasts. */
const loadedTime = us(25_000_000);
const mostMessages = 3_000;
/** Values that are sent less often than this are sent at random about as often, so that a run sees enough of them. */
const oftenEnough = us(1_000_000);
/** Connection events of the run of one message at a time, at the most. */
const mostEvents = 12_000;
const aloneMessages = 300;
/** What one message in a million exceeds stands for the worst of a distribution without end. */
const almostAll = 1 - 1e-6;
const curvePoints = 60;
/** A curve goes on for so many times what the link itself takes, at the most. */
const mostOfLink = 4;

/** One message that waits for the link. */
type Message = Pick<Delay, 'id' | 'from' | 'hold'> & { readonly payloads: readonly number[] };

/** Delays of all values that are notified and of all that can be written, in handle order. */
export function delays(
  table: Table,
  connection: Connection,
  streams: readonly Stream[],
  options: { readonly seed: number },
): Delays {
  const changes = streams.map((stream): Message => ({
    id: stream.id,
    from: 'change',
    payloads: stream.payloads,
    hold: holdOf(stream, table),
  }));
  const writes = table.values.filter(isWritable).map((value): Message => ({
    id: value.id,
    from: 'write',
    payloads: writePayloads(value, connection),
    hold: { least: us(0), most: us(0) },
  }));
  const loaded = runLoaded(connection, streams, writes, options.seed);
  return {
    values: [...changes, ...writes].map((message, i) =>
      delayOf(message, connection, loaded[i] ?? nothing, options.seed + i),
    ),
    basis: delaysBasis,
  };
}

function isWritable({ access }: ValueDefinition): boolean {
  return access.includes('write') || access.includes('write-without-response');
}

/** The first PDU that takes the value over: a long one is on the board only when all of it was prepared and executed. */
function writePayloads(value: ValueDefinition, connection: Connection): readonly number[] {
  const procedure = value.access.includes('write') ? 'write' : 'write command';
  const { pdus } = procedureCost(value.id, procedure, value.maxLength, connection);
  const down = pdus.filter(({ direction }) => direction === 'down');
  return fragments(Math.max(...down.map(({ octets }) => octets)), connection.dataLength);
}

/** A change waits for the policy: up to the whole spacing when it follows another, none when the value was at rest. */
function holdOf({ id, spacing, bounded, steady }: Stream, table: Table): Delay['hold'] {
  const every = table.values.find((value) => value.id === id)?.notify?.on;
  if (steady && every?.kind === 'every') return { least: us(0), most: every.period };
  return { least: us(0), most: bounded ? spacing : us(0) };
}

function delayOf(message: Message, connection: Connection, loaded: Loaded, seed: number): Delay {
  const { id, from, hold, payloads } = message;
  const direction = from === 'change' ? 'up' : 'down';
  const mixture = transferDelay(connection, direction, payloads);
  const seen = summarise(loaded.delays);
  const fits = mixture.pieces.length > 0;
  const free: HeldDelay = { mixture, hold: 0 };
  const held: HeldDelay = { mixture, hold: hold.most };
  const link = marksOf(free, connection);
  const whole = marksOf(held, connection);
  const closedMean = fits ? meanOfHeld(free) : Number.NaN;
  const alone = fits ? runAlone(connection, direction, payloads, seed) : undefined;
  const sorted = loaded.delays.slice().sort();
  // A hold that is far longer than the link takes would leave nothing to see of the link.
  const radioEnd = Math.max(quantileOfHeld(free, 0.995), quantileOf(sorted, 0.995) || 0);
  const end = fits ? Math.min(Math.max(quantileOfHeld(held, 0.995), radioEnd), mostOfLink * radioEnd) : 0;
  return {
    id,
    from,
    fits,
    hold,
    link,
    whole,
    mean: compared(closedMean, alone?.mean ?? Number.NaN, alone?.halfWidth),
    loaded: {
      best: seen.least,
      median: seen.median,
      p95: seen.p95,
      worst: seen.greatest,
      mean: compared(closedMean, seen.mean, loaded.halfWidth),
      count: seen.count,
    },
    lost: loaded.lost,
    curve: fits
      ? Array.from({ length: curvePoints + 1 }, (_, i) => {
          const timeUs = (end * i) / curvePoints;
          return {
            timeUs,
            link: chanceWithinHeld(free, timeUs),
            whole: chanceWithinHeld(held, timeUs),
            loaded: shareWithin(sorted, timeUs),
          };
        })
      : [],
    endsInTimeout: fits && link.worst >= connection.timeout,
  };
}

function marksOf(held: HeldDelay, { packetErrorRate }: Connection): Marks {
  return {
    best: held.mixture.pieces[0]?.start ?? Number.NaN,
    median: quantileOfHeld(held, 0.5),
    p95: quantileOfHeld(held, 0.95),
    worst: quantileOfHeld(held, packetErrorRate === 0 ? 1 : almostAll),
  };
}

/** One message at a time on an idle link: what the closed form is about. */
function runAlone(connection: Connection, direction: 'up' | 'down', payloads: readonly number[], seed: number) {
  // Far enough apart, in intervals, for each to be through before the next.
  const gap = Math.ceil((12 * (connection.latency + 1)) / (1 - connection.packetErrorRate) ** 2);
  const messages = Math.max(60, Math.min(aloneMessages, Math.floor(mostEvents / (1.5 * gap))));
  const apart = us(gap * connection.interval);
  const run = runLink(connection, [{ direction, payloads, arrivals: { kind: 'apart', least: apart, more: apart } }], {
    duration: us(messages * 1.5 * apart),
    seed,
  });
  return summarise(run.sources[0]?.delays ?? new Float64Array(0));
}

/** Delays of one message in all loaded runs; half the width of the 95 % interval of their mean, from the runs' means. */
type Loaded = { readonly delays: Float64Array; readonly lost: number; readonly halfWidth: number };

const nothing: Loaded = { delays: new Float64Array(0), lost: 0, halfWidth: Number.NaN };

/**
 * All values at their highest rates, and a client that writes each writable value about once in two seconds. Periods keep
 * their phases, so one run says little: two dozen are made.
 */
function runLoaded(
  connection: Connection,
  streams: readonly Stream[],
  writes: readonly Message[],
  seed: number,
): readonly Loaded[] {
  const notified = sourcesOf(streams, ({ spacing }) =>
    spacing <= oftenEnough
      ? { kind: 'every', period: spacing }
      : { kind: 'apart', least: us(oftenEnough / 2), more: oftenEnough },
  );
  const written = writes.map(({ payloads }): Source => ({
    direction: 'down',
    payloads,
    arrivals: { kind: 'apart', least: oftenEnough, more: us(2 * oftenEnough) },
  }));
  // The messages first, as they are counted; confirmations behind them.
  const sources = [...notified.slice(0, streams.length), ...written, ...notified.slice(streams.length)];
  const rate = streams.reduce((sum, { spacing }) => sum + 1 / spacing, 0);
  const duration = us(
    Math.max(
      60 * connection.interval,
      Math.min(mostEvents * connection.interval, loadedTime, rate > 0 ? mostMessages / rate : Infinity),
    ),
  );
  const samples = sources.map(() => new Samples());
  const means = sources.map(() => new Samples());
  const lost = sources.map(() => 0);
  for (let i = 0; i < loadedRuns; i++) {
    const run = runLink(connection, sources, { duration, seed: seed * loadedRuns + i });
    for (const [j, { arrived, delivered, delays: seen }] of run.sources.entries()) {
      let sum = 0;
      for (const delay of seen) {
        samples[j]?.push(delay);
        sum += delay;
      }
      if (seen.length > 0) means[j]?.push(sum / seen.length);
      // The last one or two are under way when the run ends.
      lost[j] = (lost[j] ?? 0) + Math.max(0, arrived - delivered - 2);
    }
  }
  return sources.map((_, j) => ({
    delays: samples[j]?.all() ?? new Float64Array(0),
    lost: lost[j] ?? 0,
    halfWidth: summarise(means[j]?.all() ?? new Float64Array(0)).halfWidth,
  }));
}

function shareWithin(sorted: Float64Array, x: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? Infinity) <= x) low = middle + 1;
    else high = middle;
  }
  return sorted.length === 0 ? Number.NaN : low / sorted.length;
}

const delaysBasis: Basis = {
  formula: `${delayBasis.formula}; hold: U(0, at-most spacing or period), 0 after a rest`,
  source: delayBasis.source,
  assumes: [
    ...delayBasis.assumes,
    'the loaded run sends every value at its highest rate, but at least about once a second, and writes each writable value about once in two seconds',
    'without loss the worst is the end of the distribution; with loss it is what one message in a million exceeds',
  ],
  validity: [
    ...delayBasis.validity,
    'a write with response is on the board this early; the client knows an event later',
    'a long write counts from its longest part; the board takes it over when all parts are executed',
  ],
};
