import { us, type Microseconds } from '../../base/quantity.ts';
import { seededRandom } from '../../base/random.ts';
import { connectPayload, interFrameSpace, packetTime } from '../../radio/air-time.ts';
import { advertisingChannels, type Advertiser, type ScanPattern } from '../found/scan.ts';
import { TimeQueue } from './time-queue.ts';

export type AdvertisingRun = {
  /** Advertising packets sent, and those that met another packet on their channel. */
  readonly packets: number;
  readonly collided: number;
  /** Steps of the run, for its speed. */
  readonly steps: number;
  /** µs from the start until each board was connected, ascending; those that were not are left out. */
  readonly connected: Float64Array;
};

export type AdvertisingRunOptions = {
  readonly boards: number;
  /** Each board begins at a random moment of this time. */
  readonly spread: Microseconds;
  readonly duration: Microseconds;
  /** How each board's own client listens, to connect at the first packet it hears; `undefined`: nobody listens. */
  readonly scan: ScanPattern | undefined;
  /** Connection interval, for how long a client takes to see that a connection did not come about. */
  readonly connectionInterval: Microseconds;
  readonly seed: number;
};

/** What a party does next. */
const advertise = 0;
const answer = 1;
const settle = 2;

/** A client gives a new connection up after six intervals without a packet. Core Vol 6 Part B 4.5. */
const establishIntervals = 6;

/**
 * A room of boards that advertise on three channels, each with a client of its own that connects to the first packet it
 * hears; packet by packet, from a seed. Packets that overlap on a channel are both lost. Connection requests are packets
 * too. A connected board is silent here.
 *
 * Work grows with the number of packets, boards × duration / interval × 3, times the logarithm of the boards.
 */
export function runAdvertising(advertiser: Advertiser, options: AdvertisingRunOptions): AdvertisingRun {
  const { boards, scan, duration } = options;
  const random = seededRandom(options.seed);
  const { packet, step, interval, delay } = advertiser;
  const request = packetTime('1M', connectPayload, false);
  const starts = Float64Array.from({ length: boards }, () => random.unit() * Math.max(options.spread, interval));
  const phases = Float64Array.from({ length: boards }, () => random.unit());
  const queue = new TimeQueue(starts);
  const next = new Uint8Array(boards);
  const channel = new Uint8Array(boards);
  const eventStart = starts.slice();
  /** Whether the party's last packet met another. */
  const hit = new Uint8Array(boards);
  /** The board's client does not listen before this. */
  const deafUntil = new Float64Array(boards);
  /** Of the packet on each channel that ends last. */
  const lastEnd = new Float64Array(advertisingChannels).fill(-1);
  const lastOwner = new Int32Array(advertisingChannels);
  /** The last packet on each channel was a request, so a hit on it is no hit on an advertising packet. */
  const lastIsRequest = new Uint8Array(advertisingChannels);
  const connected: number[] = [];
  const round = scan === undefined ? 0 : advertisingChannels * scan.interval;
  let packets = 0;
  let collided = 0;
  let steps = 0;

  const onAir = (party: number, on: number, start: number, end: number, isRequest: boolean): void => {
    hit[party] = 0;
    if (start < (lastEnd[on] ?? -1)) {
      hit[party] = 1;
      if (!isRequest) collided += 1;
      const other = lastOwner[on] ?? 0;
      if (hit[other] === 0 && other !== party) {
        hit[other] = 1;
        if (lastIsRequest[on] === 0) collided += 1;
      }
      if (end <= (lastEnd[on] ?? -1)) return;
    }
    lastEnd[on] = end;
    lastOwner[on] = party;
    lastIsRequest[on] = isRequest ? 1 : 0;
  };
  const listens = (party: number, on: number, start: number): boolean => {
    if (scan === undefined || start < (deafUntil[party] ?? 0)) return false;
    const at = (start + (phases[party] ?? 0) * round) % round;
    return at >= on * scan.interval && at + packet <= on * scan.interval + scan.window;
  };
  /** The time of the party's next packet: the next channel, or the next event. */
  const goOn = (party: number): number => {
    next[party] = advertise;
    const on = (channel[party] ?? 0) + 1;
    if (on < advertisingChannels) {
      channel[party] = on;
      return (eventStart[party] ?? 0) + on * step;
    }
    channel[party] = 0;
    const start = (eventStart[party] ?? 0) + interval + random.unit() * delay;
    eventStart[party] = start;
    return start;
  };

  for (;;) {
    const now = queue.time;
    if (now > duration) break;
    const party = queue.party;
    const on = channel[party] ?? 0;
    steps += 1;
    switch (next[party]) {
      case advertise: {
        const end = now + packet;
        packets += 1;
        onAir(party, on, now, end, false);
        if (listens(party, on, now)) {
          next[party] = answer;
          queue.later(end + interFrameSpace);
        } else queue.later(goOn(party));
        break;
      }
      case answer: {
        // By now every packet that began within the board's is known.
        if (hit[party] === 1) {
          queue.later(Math.max(now, goOn(party)));
          break;
        }
        onAir(party, on, now, now + request, true);
        deafUntil[party] = now + request + establishIntervals * options.connectionInterval;
        next[party] = settle;
        queue.later(now + request);
        break;
      }
      default:
        if (hit[party] === 1) {
          queue.later(Math.max(now, goOn(party)));
          break;
        }
        connected.push(now);
        queue.later(Infinity);
    }
  }
  return { packets, collided, steps, connected: Float64Array.from(connected) };
}

/** Mean time between the events of an advertiser. */
export function meanEventTime({ interval, delay }: Advertiser): Microseconds {
  return us(interval + delay / 2);
}
