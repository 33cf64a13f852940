import { us, type Microseconds } from '../../base/quantity.ts';
import type { Basis } from '../basis.ts';
import type { Connection } from '../air/connection.ts';
import { dataPacketTime, interFrameSpace } from '../../radio/air-time.ts';
import { valueHeader } from '../air/packing.ts';
import type { Stream } from './stream.ts';

export type LinkUse = {
  /** Share of all time, 0..1 and more, that the declared rates fill, retransmissions included. */
  readonly demand: number;
  /** Share of time from the first packet of each event to the space behind its last, polls of idle events included. */
  readonly busy: number;
  /** Whether the demand fits for sure, and why not. */
  readonly carries: boolean;
  readonly streams: readonly StreamUse[];
  /** The characteristic with the largest share; `undefined` without streams. */
  readonly blame: string | undefined;
  /** The shortest and longest connection interval that carry the rates; `undefined`: none does. */
  readonly intervals: { readonly shortest: Microseconds; readonly longest: Microseconds } | undefined;
  /** The smallest MTU at which no value is cut. */
  readonly smallestMtu: number;
  /** Messages that may wait at one anchor point at the most: what the board's queue must hold, in packets. */
  readonly queuePackets: number;
  readonly advice: readonly string[];
};

export type StreamUse = {
  readonly id: string;
  readonly kind: Stream['kind'];
  readonly octets: number;
  readonly sent: number;
  readonly spacingUs: Microseconds;
  readonly bounded: boolean;
  readonly packets: number;
  /** Time of one message with its polls, µs. */
  readonly timeUs: Microseconds;
  /** Share of all time, retransmissions included. */
  readonly share: number;
};

/** Steps and limits of the connection interval. Core Vol 4 Part E 7.8.12: 6 to 3200 steps of 1.25 ms. */
const intervalStep = 1250;
const fewestSteps = 6;
const mostSteps = 3200;

/** Use of the link by a client that subscribes to everything, each value at its highest declared rate. */
export function linkUse(connection: Connection, streams: readonly Stream[]): LinkUse {
  const attempts = 1 / (1 - connection.packetErrorRate) ** 2;
  const uses = streams.map((stream): StreamUse => ({
    id: stream.id,
    kind: stream.kind,
    octets: stream.octets,
    sent: stream.sent,
    spacingUs: stream.spacing,
    bounded: stream.bounded,
    packets: stream.pairs.length,
    timeUs: stream.time,
    share: (stream.time * attempts) / stream.spacing,
  }));
  const demand = uses.reduce((sum, { share }) => sum + share, 0);
  const worst = uses.reduce<StreamUse | undefined>((a, b) => (a === undefined || b.share > a.share ? b : a), undefined);
  const use = {
    demand,
    busy: Math.min(1, busyShare(connection, streams)),
    carries: carries(connection, streams),
    streams: uses,
    blame: worst?.id,
    intervals: intervalsThatCarry(connection, streams),
    smallestMtu: Math.max(23, ...streams.map(({ octets }) => octets + valueHeader)),
    queuePackets: streams.reduce(
      (sum, { spacing, payloads }) => sum + Math.ceil(connection.interval / spacing) * payloads.length,
      0,
    ),
  };
  return { ...use, advice: adviceFor(connection, streams, use) };
}

/**
 * Time of pairs that carry something, and of events that carry nothing.
 *
 * A pair is tried 1 / q times, q = (1 - p)^2; when its poll is lost (p) the event ends with it, else it takes its time. Each
 * failure ends an event, so a message of n pairs is in 1 + n (1 - q) / q events, and with phases at random an event is idle
 * with the chance that no stream has anything in it; a confirmation needs an event of its own.
 *
 * A board with latency L answers the event behind each message, which tells it that it was heard, and then one in L + 1
 * until the next message cuts the count short, by L / 2 events on average. In the others the central polls in vain.
 */
function busyShare({ interval, phy, latency, packetErrorRate: p }: Connection, streams: readonly Stream[]): number {
  const q = (1 - p) ** 2;
  const poll = dataPacketTime(phy, 0, false) + interFrameSpace;
  const carrying = sumOf(
    streams,
    ({ pairs, spacing }) => pairs.reduce((sum, pair) => sum + p * poll + (1 - p) * pair, 0) / q / spacing,
  );
  const idle = streams.reduce((chance, { spacing, pairs, kind }) => {
    const events = (kind === 'indication' ? 2 : 1) + (pairs.length * (1 - q)) / q;
    return chance * (1 - Math.min(1, (events * interval) / spacing));
  }, 1);
  // Of the idle events between two messages.
  const between = idle < 1 ? idle / (1 - idle) : Infinity;
  const listened = between <= 1 ? 1 : Math.max(0, 1 / (latency + 1) + latency / (2 * (latency + 1)) / between);
  return carrying + (idle * poll * (1 + (1 - p) * Math.min(1, listened))) / interval;
}

/**
 * Whether the rates fit for sure: an event wastes less than one longest pair at its end, so sum(rate × time) × interval must
 * leave that much; and the pairs must keep a given limit an event.
 */
function carries(connection: Connection, streams: readonly Stream[]): boolean {
  const { interval, packetErrorRate, mostPairs } = connection;
  const attempts = 1 / (1 - packetErrorRate) ** 2;
  const longest = Math.max(0, ...streams.flatMap(({ pairs }) => pairs));
  const time = sumOf(streams, ({ time, spacing }) => time / spacing) * attempts * interval;
  const pairs = sumOf(streams, ({ pairs, spacing }) => pairs.length / spacing) * attempts * interval;
  return time + longest <= interval && (mostPairs === undefined || pairs <= mostPairs);
}

/**
 * From carries(): interval >= longest pair / (1 - sum(rate × time)), and with a limit of pairs
 * interval <= limit / sum(rate × pairs), in whole steps. Streams without a bound are left out: they follow the interval.
 */
function intervalsThatCarry(connection: Connection, all: readonly Stream[]): LinkUse['intervals'] {
  const attempts = 1 / (1 - connection.packetErrorRate) ** 2;
  const streams = all.filter(({ bounded }) => bounded);
  const demand = sumOf(streams, ({ time, spacing }) => time / spacing) * attempts;
  if (demand >= 1) return undefined;
  const longestPair = Math.max(0, ...all.flatMap(({ pairs }) => pairs));
  const unbounded = sumOf(
    all.filter(({ bounded }) => !bounded),
    ({ time }) => time,
  );
  const least = (longestPair + unbounded * attempts) / (1 - demand);
  const shortest = Math.max(fewestSteps, Math.ceil(least / intervalStep));
  const pairRate = sumOf(streams, ({ pairs, spacing }) => pairs.length / spacing) * attempts;
  const most = connection.mostPairs === undefined || pairRate === 0 ? Infinity : connection.mostPairs / pairRate;
  const longest = Math.min(mostSteps, Math.floor(most / intervalStep));
  return shortest > longest
    ? undefined
    : { shortest: us(shortest * intervalStep), longest: us(longest * intervalStep) };
}

function adviceFor(
  connection: Connection,
  streams: readonly Stream[],
  use: Omit<LinkUse, 'advice'>,
): readonly string[] {
  const advice: string[] = [];
  for (const { id, octets, sent } of streams) {
    if (sent < octets) {
      advice.push(
        `\`${id}\` is cut to ${sent} of ${octets} octets in each message: set \`mtu: ${octets + valueHeader}\`, or let clients read it whole`,
      );
    }
  }
  const several = streams.filter(({ payloads }) => payloads.length > 1);
  const longest = Math.max(0, ...several.map(({ sent }) => sent + valueHeader + 4));
  if (several.length > 0 && longest <= 251 && longest > connection.dataLength) {
    const ids = several.map(({ id }) => `\`${id}\``).join(', ');
    advice.push(
      `${ids} ${several.length === 1 ? 'needs' : 'need'} several packets a message: \`data-length: ${longest}\` puts ${several.length === 1 ? 'it' : 'each'} into one`,
    );
  }
  for (const { id, bounded } of streams) {
    if (!bounded) advice.push(`\`${id}\` has no rate bound: give it \`at-most\`, or its share is a guess`);
  }
  if (!use.carries) {
    const blame = use.blame === undefined ? '' : `; \`${use.blame}\` takes the most: lower its rate first`;
    const interval =
      use.intervals === undefined
        ? 'no connection interval carries these rates'
        : connection.interval < use.intervals.shortest
          ? `the connection interval must be at least ${use.intervals.shortest / 1000} ms`
          : `the connection interval must be at most ${use.intervals.longest / 1000} ms`;
    advice.push(interval + blame);
  }
  return advice;
}

function sumOf(streams: readonly Stream[], of: (stream: Stream) => number): number {
  return streams.reduce((sum, stream) => sum + of(stream), 0);
}

export const linkUseBasis: Basis = {
  formula:
    'demand = Σ time of a message / spacing / q, q = (1 - p)²; busy = Σ pairs (p poll + (1 - p) pair) / q / spacing + idle × poll (1 + (1 - p) × listened) / interval, listened = (1 + L / 2 / idle events in a row) / (L + 1), idle = Π(1 - min(1, (1 + n (1 - q) / q) interval / spacing)); carried if demand × interval + longest pair ≤ interval',
  source: 'Core Vol 6 Part B 4.5.1, 4.5.6; Vol 3 Part F 3.4.7; derived here',
  assumes: [
    'one client, subscribed to everything, each value at its longest and at its highest declared rate',
    'phases of the values are independent',
    'an indication’s confirmation costs one pair more; one that rides on a poll which comes anyway costs less',
  ],
  validity: [
    'the test of what is carried is sufficient, not necessary: a demand just above it may still fit',
    'reads and writes of the client are not in it: no contract says how often they come',
    'a central may leave out polls that it knows to be in vain; here it sends them all',
  ],
};
