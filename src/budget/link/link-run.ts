import { bug } from '../../base/bug.ts';
import type { Microseconds } from '../../base/quantity.ts';
import { seededRandom, type Random } from '../../base/random.ts';
import type { Connection } from '../air/connection.ts';
import { dataPacketTime, interFrameSpace } from '../../radio/air-time.ts';
import { Samples } from '../statistics.ts';
import { exponential } from './random-times.ts';

/** How the messages of a source come. */
export type Arrivals =
  /** A random phase, then every `period`. */
  | { readonly kind: 'every'; readonly period: Microseconds }
  /** At random, `mean` apart. */
  | { readonly kind: 'random'; readonly mean: Microseconds }
  /** One at a time: at least `least` apart, and up to `more` more, each length as likely. */
  | { readonly kind: 'apart'; readonly least: Microseconds; readonly more: Microseconds }
  /** A few always wait. */
  | { readonly kind: 'always' };

/** `up`: from the board to the client; `down`: from the client to the board. */
export type Source = {
  readonly direction: 'up' | 'down';
  readonly payloads: readonly number[];
  readonly arrivals: Arrivals;
};

/** One connection event, for a timeline to scale. */
export type EventTrace = {
  readonly anchor: Microseconds;
  /** Packets in order: start, length, who sent it, payload octets, whether it was heard. */
  readonly packets: readonly {
    readonly start: Microseconds;
    readonly time: Microseconds;
    readonly from: 'central' | 'peripheral';
    readonly payload: number;
    readonly heard: boolean;
  }[];
};

export type LinkRun = {
  /** Length of the run. */
  readonly duration: Microseconds;
  readonly events: number;
  /** Events in which the peripheral listened. */
  readonly attended: number;
  readonly packets: number;
  readonly lost: number;
  /** Time from first packet of each event to the space behind its last, summed. */
  readonly busy: Microseconds;
  /** By source, in their order. */
  readonly sources: readonly {
    readonly arrived: number;
    readonly delivered: number;
    /** µs from arrival to the end of the last packet at the other side, each delivered message. */
    readonly delays: Float64Array;
  }[];
  /** The longest queue, messages, of either side. */
  readonly longestQueue: number;
  /** The first events of the run. */
  readonly trace: readonly EventTrace[];
};

/** A message waiting: which source, when it came. */
type Waiting = { readonly source: number; readonly at: number };

/** One direction: what waits, and how far its first message has got. */
type Side = { readonly queue: Waiting[]; head: number; fragment: number; heardFragment: boolean };

const traced = 24;

/** Messages of an endless source that wait at one time. */
const alwaysWaiting = 4;

/**
 * A connection, packet by packet, from a seed: polls, data, acknowledgements by sequence numbers, more-data, lost packets,
 * peripheral latency. Core Vol 6 Part B 4.5.1 (events, latency), 4.5.6 (more data), 4.5.9 (acknowledgement).
 *
 * A lost packet is one that is not heard at all: the event ends there, and what was not acknowledged is sent again in the
 * next one. After a miss, and while a transfer runs, the peripheral listens to every event.
 */
export function runLink(
  connection: Connection,
  sources: readonly Source[],
  options: { readonly duration: Microseconds; readonly seed: number },
): LinkRun {
  const { phy, interval, latency, encrypted, packetErrorRate, mostPairs = Infinity } = connection;
  const random = seededRandom(options.seed);
  const arrivals = new ArrivalQueue(sources, random);
  const sides = { up: side(), down: side() };
  const delays = sources.map(() => new Samples());
  const trace: EventTrace[] = [];
  let events = 0;
  let attended = 0;
  let packets = 0;
  let lost = 0;
  let busy = 0;
  let longestQueue = 0;
  let sleepUntil = 0;

  const payloadOf = (which: Side): number => {
    const first = which.queue[which.head];
    return first === undefined ? 0 : (sources[first.source]?.payloads[which.fragment] ?? 0);
  };
  /** The first message's fragment was heard at `at`; the sender does not know it yet. */
  const heard = (which: Side, at: number): void => {
    const first = which.queue[which.head];
    if (first === undefined || which.heardFragment) return;
    which.heardFragment = true;
    const count = sources[first.source]?.payloads.length ?? 0;
    if (which.fragment === count - 1) delays[first.source]?.push(at - first.at);
  };
  const acknowledged = (which: Side, at: number): void => {
    const first = which.queue[which.head];
    if (first === undefined || !which.heardFragment) return;
    which.heardFragment = false;
    which.fragment += 1;
    if (which.fragment < (sources[first.source]?.payloads.length ?? 0)) return;
    which.fragment = 0;
    which.head += 1;
    arrivals.left(first.source, at);
    if (which.head > 512) {
      which.queue.splice(0, which.head);
      which.head = 0;
    }
  };
  const pending = (which: Side): number => which.queue.length - which.head;
  const collect = (at: number): void => {
    arrivals.until(at, (source, when) => {
      sides[sources[source]?.direction ?? 'up'].queue.push({ source, at: when });
    });
    longestQueue = Math.max(longestQueue, pending(sides.up), pending(sides.down));
  };

  for (let anchor = 0; anchor < options.duration; anchor += interval) {
    collect(anchor);
    events += 1;
    const shown: EventTrace['packets'][number][] = [];
    const send = (from: 'central' | 'peripheral', start: number, payload: number): { end: number; ok: boolean } => {
      const time = dataPacketTime(phy, payload, encrypted);
      const ok = packetErrorRate === 0 || random.unit() >= packetErrorRate;
      packets += 1;
      if (!ok) lost += 1;
      if (trace.length < traced) {
        shown.push({ start: start as Microseconds, time, from, payload, heard: ok });
      }
      return { end: start + time, ok };
    };
    let time = anchor;
    let reached = anchor;
    for (let pair = 0; pair < mostPairs; pair++) {
      const down = payloadOf(sides.down);
      const hasDown = down > 0;
      const upStart = time + dataPacketTime(phy, down, encrypted) + interFrameSpace;
      collect(upStart);
      // A pair that would not end before the next anchor is not begun; the peripheral shortens nothing.
      const answerTime = dataPacketTime(phy, payloadAfterPoll(sides.up, sources), encrypted);
      const longest = upStart + answerTime + interFrameSpace;
      if (longest > anchor + interval) break;
      const listens = pair > 0 || anchor >= sleepUntil || pending(sides.up) > 0;
      if (listens && pair === 0) attended += 1;
      const poll = send('central', time, down);
      reached = poll.end + interFrameSpace;
      if (!listens) break;
      if (!poll.ok) {
        sleepUntil = anchor + interval;
        break;
      }
      // What came into the queue while the poll was on the air is not in it.
      if (hasDown) heard(sides.down, poll.end);
      acknowledged(sides.up, poll.end);
      const moreDown = pending(sides.down) > 1 || morePayloads(sides.down, sources);
      sleepUntil = anchor + interval * (moreDown ? 1 : latency + 1);
      // The acknowledged fragment is gone: what is sent is what waits now.
      const answer = send('peripheral', upStart, payloadOf(sides.up));
      reached = answer.end + interFrameSpace;
      if (pending(sides.up) > 0) sleepUntil = anchor + interval;
      if (!answer.ok) {
        if (hasDown) sleepUntil = anchor + interval;
        break;
      }
      const moreUp = pending(sides.up) > 1 || morePayloads(sides.up, sources);
      heard(sides.up, answer.end);
      if (hasDown) acknowledged(sides.down, answer.end);
      time = reached;
      if (!moreUp && !(hasDown && pending(sides.down) > 0)) break;
    }
    busy += reached - anchor;
    if (trace.length < traced) trace.push({ anchor: anchor as Microseconds, packets: shown });
  }
  const counts = arrivals.counts();
  return {
    duration: options.duration,
    events,
    attended,
    packets,
    lost,
    busy: busy as Microseconds,
    sources: sources.map((_, i) => {
      const all = delays[i]?.all() ?? new Float64Array(0);
      return { arrived: counts[i] ?? 0, delivered: all.length, delays: all };
    }),
    longestQueue,
    trace,
  };
}

function side(): Side {
  return { queue: [], head: 0, fragment: 0, heardFragment: false };
}

/** What the peripheral sends when the poll has told it that its last packet was heard. */
function payloadAfterPoll(which: Side, sources: readonly Source[]): number {
  const on = which.heardFragment && !morePayloads(which, sources);
  const message = which.queue[which.head + (on ? 1 : 0)];
  const fragment = on ? 0 : which.fragment + (which.heardFragment ? 1 : 0);
  return message === undefined ? 0 : (sources[message.source]?.payloads[fragment] ?? 0);
}

/** Whether the first message has fragments behind the present one. */
function morePayloads(which: Side, sources: readonly Source[]): boolean {
  const first = which.queue[which.head];
  return first !== undefined && which.fragment < (sources[first.source]?.payloads.length ?? 0) - 1;
}

/** The next arrival of each source. */
class ArrivalQueue {
  readonly #sources: readonly Source[];
  readonly #random: Random;
  readonly #next: Float64Array;
  readonly #counts: number[];

  constructor(sources: readonly Source[], random: Random) {
    this.#sources = sources;
    this.#random = random;
    this.#counts = sources.map(() => 0);
    this.#next = Float64Array.from(sources, ({ arrivals }) => {
      switch (arrivals.kind) {
        case 'every':
          return random.unit() * arrivals.period;
        case 'random':
          return exponential(random, arrivals.mean);
        case 'apart':
          return random.unit() * arrivals.more;
        case 'always':
          return 0;
      }
    });
  }

  /** Hands over, by time, what has come up to `at`. */
  until(at: number, arrived: (source: number, when: number) => void): void {
    for (;;) {
      let first = -1;
      let when = at;
      for (let i = 0; i < this.#next.length; i++) {
        const next = this.#next[i] ?? Infinity;
        if (next <= when && (first < 0 || next < when)) {
          first = i;
          when = next;
        }
      }
      if (first < 0) return;
      this.#counts[first] = (this.#counts[first] ?? 0) + 1;
      this.#next[first] = when + this.#gap(first);
      arrived(first, when);
    }
  }

  /** A message of `source` has left its queue. */
  left(source: number, at: number): void {
    if (this.#sources[source]?.arrivals.kind === 'always') this.#next[source] = at;
  }

  counts(): readonly number[] {
    return this.#counts;
  }

  #gap(source: number): number {
    const arrivals = this.#sources[source]?.arrivals;
    bug(arrivals !== undefined, `there is no source ${source}`);
    switch (arrivals.kind) {
      case 'every':
        return arrivals.period;
      case 'random':
        return exponential(this.#random, arrivals.mean);
      case 'apart':
        return arrivals.least + this.#random.unit() * arrivals.more;
      case 'always':
        return (this.#counts[source] ?? 0) < alwaysWaiting ? 0 : Infinity;
    }
  }
}
