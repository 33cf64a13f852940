import { us, type Microseconds } from '../../base/quantity.ts';
import type { Phy, Radio } from '../../contract/model.ts';
import type { Table } from '../../table/model.ts';
import { advertisingPayload, interFrameSpace, packetTime } from '../../radio/air-time.ts';

/** A scanner listens for `window` at the start of each `interval`, on channels 37, 38, 39 in turn. Core Vol 6 Part B 4.4.3. */
export type ScanPattern = {
  readonly name: string;
  readonly window: Microseconds;
  readonly interval: Microseconds;
  readonly source: string;
};

const practice = 'common practice, from memory: phones and their versions differ; give your own';

/** How phones and gateways are known to listen; examples to start from, not promises. */
export const scanPatterns: readonly [ScanPattern, ...ScanPattern[]] = [
  { name: 'screen', window: us(4_096_000), interval: us(4_096_000), source: practice },
  { name: 'balanced', window: us(1_024_000), interval: us(4_096_000), source: practice },
  { name: 'background', window: us(512_000), interval: us(5_120_000), source: practice },
  { name: 'gateway', window: us(30_000), interval: us(60_000), source: practice },
];

/** An advertiser: events of three packets, `interval` + U(0, `delay`) apart. Core Vol 6 Part B 4.4.2.2.1. */
export type Advertiser = {
  readonly interval: Microseconds;
  /** The most that advDelay adds: 10 ms. */
  readonly delay: Microseconds;
  /** Time of one packet. */
  readonly packet: Microseconds;
  /** From the start of one packet to the start of the next on the following channel. */
  readonly step: Microseconds;
};

/** The most that the random delay adds to each advertising interval. Core Vol 6 Part B 4.4.2.2.1. */
export const largestDelay = us(10_000);

/** After each packet the board listens for an answer: the space, and preamble and access address of a request. */
export function listenTime(phy: Phy): Microseconds {
  return us(interFrameSpace + 2 + (phy === '2M' ? 24 : 40));
}

/** Legacy advertising of a contract: always on 1M, connectable, at one end of its interval's range. */
export function advertiserOf(table: Table, end: keyof Radio['advertise']['interval'] = 'max'): Advertiser {
  const packet = packetTime('1M', advertisingPayload(table.advertising.bytes.length), false);
  return {
    interval: table.radio.advertise.interval[end],
    delay: largestDelay,
    packet,
    step: us(packet + listenTime('1M')),
  };
}

/** Channels that an advertising event goes through. */
export const advertisingChannels = 3;

/**
 * Which of an event's packets lies whole in a window of its channel: 0, 1 or 2, the first; -1 for none.
 *
 * @param phase of the event's start in the scanner's round of three intervals, 0 <= phase < 3 × interval
 */
export function heardPacket({ packet, step }: Advertiser, { window, interval }: ScanPattern, phase: number): number {
  const round = advertisingChannels * interval;
  for (let channel = 0; channel < advertisingChannels; channel++) {
    const at = (phase + channel * step) % round;
    const start = channel * interval;
    if (at >= start && at + packet <= start + window) return channel;
  }
  return -1;
}
