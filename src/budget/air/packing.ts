import type { Microseconds } from '../../base/quantity.ts';
import type { Basis } from '../basis.ts';
import type { Connection } from './connection.ts';
import { fragments } from './fragment.ts';
import { pairTime } from '../../radio/air-time.ts';

/** Opcode and handle in front of the value of a notification, indication, write request or write command. */
export const valueHeader = 3;

/**
 * Packet pairs of one length that one connection event holds: floor(interval / pair). The event must end an inter frame
 * space before the next anchor point (Core Vol 6 Part B 4.5.1), and each pair has that space behind it.
 */
export function pairsPerEvent(interval: Microseconds, pair: Microseconds, most = Infinity): number {
  return Math.min(most, Math.floor(interval / pair));
}

export type Packing = {
  /** Whole values or parts of them that leave in one event, on average; 0 when not even one packet fits. */
  readonly messagesPerEvent: number;
  /** Octets of value in one message. */
  readonly octets: number;
  readonly payloads: readonly number[];
  readonly pairs: readonly Microseconds[];
  /** Octets of value a second. */
  readonly octetsPerSecond: number;
  /** Thousand bits of value a second. */
  readonly kbitPerSecond: number;
};

/**
 * The most that one direction carries: messages of one length, sent without pause, answered by empty packets.
 * Notifications up and write commands down cost the same.
 *
 * Without loss the packets of the endless row of messages are laid into events one after another until the place in the
 * message at which an event begins comes round again: exact. With loss an event ends at its first lost packet, so of the
 * n pairs that fit only q + q^2 + … + q^n are used on average, q = (1 - p)^2: exact where all pairs take the same time,
 * else n is the mean.
 *
 * @param octets of value in each message; what the MTU cuts is not sent
 */
export function packing(connection: Connection, octets = connection.mtu - valueHeader): Packing {
  const { phy, interval, mtu, dataLength, encrypted, packetErrorRate, mostPairs } = connection;
  const sent = Math.min(octets, mtu - valueHeader);
  const payloads = fragments(sent + valueHeader, dataLength);
  const pairs = payloads.map((payload) => pairTime(phy, 0, payload, encrypted));
  const perEvent = meanPairs(interval, pairs, mostPairs ?? Infinity);
  const q = (1 - packetErrorRate) ** 2;
  const messagesPerEvent = goodPairs(perEvent, q) / pairs.length;
  const octetsPerSecond = (messagesPerEvent * sent * 1_000_000) / interval;
  return {
    messagesPerEvent,
    octets: sent,
    payloads,
    pairs,
    octetsPerSecond,
    kbitPerSecond: (octetsPerSecond * 8) / 1000,
  };
}

/** Pairs that end well in an event with room for n, which stops at the first that does not; linear between whole n. */
export function goodPairs(n: number, q: number): number {
  if (q === 1) return n;
  const whole = Math.floor(n);
  const series = (count: number): number => (q * (1 - q ** count)) / (1 - q);
  return series(whole) + (n - whole) * (series(whole + 1) - series(whole));
}

/** Mean number of pairs an event holds when the row of `pairs` is repeated without end. */
function meanPairs(interval: number, pairs: readonly number[], most: number): number {
  const firstSeen = new Map<number, { readonly events: number; readonly sent: number }>();
  let place = 0;
  let sent = 0;
  for (let events = 0; ; events++) {
    const seen = firstSeen.get(place);
    if (seen !== undefined) return (sent - seen.sent) / (events - seen.events);
    firstSeen.set(place, { events, sent });
    let left = interval;
    for (let n = 0; n < most; n++) {
      const pair = pairs[place] ?? Infinity;
      if (pair > left) break;
      left -= pair;
      sent += 1;
      place = (place + 1) % pairs.length;
    }
  }
}

/** The bound that no interval reaches: value bits of one pair by its time, in thousand bits a second. */
export function throughputBound(connection: Connection): number {
  const { pairs, octets } = packing({ ...connection, packetErrorRate: 0 });
  return (octets * 8000) / pairs.reduce((sum, pair) => sum + pair, 0);
}

export const packingBasis: Basis = {
  formula:
    'pair = data packet + 150 µs + empty packet + 150 µs; pairs an event n = floor(interval / pair); with packet error rate p: q + q² + … + qⁿ, q = (1 - p)²',
  source: 'Core Vol 6 Part B 2.1, 2.2, 4.1.1, 4.5.1; Vol 3 Part A 3.1; Vol 3 Part F 3.4.7.1',
  assumes: [
    'both controllers fill the event to its end unless a limit of pairs is given',
    'the board always has the next packet ready',
    'a lost packet ends the event',
  ],
  validity: [
    'an upper bound: phones and radio stacks often close events earlier, and a client’s radio also scans and serves others',
    'one connection a central; others share its time',
  ],
};
