import { us } from '../../base/quantity.ts';
import type { Phy } from '../../contract/model.ts';
import { compared, type Basis, type Compared } from '../basis.ts';
import { runLink } from '../link/link-run.ts';
import type { Connection } from './connection.ts';
import { packing, packingBasis, throughputBound, valueHeader, type Packing } from './packing.ts';

export type Throughput = Packing & {
  /** Thousand bits a second of one pair after another, which no interval reaches. */
  readonly boundKbitPerSecond: number;
  /** Thousand bits of value a second: notifications up, and write commands down. */
  readonly up: Compared;
  readonly down: Compared;
  /** Notifications of each value alone that one event holds. */
  readonly other: readonly {
    readonly phy: Phy;
    readonly mtu: number;
    readonly dataLength: number;
    readonly kbitPerSecond: number;
  }[];
  readonly basis: Basis;
};

/** A run ends at the first of both. */
const mostEvents = 1500;
const mostPairs = 50_000;
/** What others offer: the defaults, the usual wish of phones, and the most that one packet and one PDU take. */
const choices = [
  { mtu: 23, dataLength: 27 },
  { mtu: 185, dataLength: 27 },
  { mtu: 185, dataLength: 251 },
  { mtu: 247, dataLength: 251 },
  { mtu: 517, dataLength: 251 },
] as const;

/** The most that the link carries in each direction, by formula and by run, and what other parameters would carry. */
export function throughput(connection: Connection, seed: number): Throughput {
  const closed = packing(connection);
  const pairs = Math.max(1, closed.messagesPerEvent * closed.pairs.length);
  const runEvents = Math.max(20, Math.min(mostEvents, Math.floor(mostPairs / pairs)));
  const duration = us(runEvents * connection.interval);
  const seen = (direction: 'up' | 'down'): Compared => {
    const run = runLink(connection, [{ direction, payloads: closed.payloads, arrivals: { kind: 'always' } }], {
      duration,
      seed,
    });
    const delivered = run.sources[0]?.delivered ?? 0;
    const kbit = (messages: number): number => (messages * closed.octets * 8000) / duration;
    // The messages of one event have a deviation of at most their mean (geometric); without loss there is no chance.
    const halfWidth =
      connection.packetErrorRate === 0 ? undefined : kbit(1.96 * closed.messagesPerEvent * Math.sqrt(runEvents));
    return compared(closed.kbitPerSecond, kbit(delivered), halfWidth);
  };
  return {
    ...closed,
    boundKbitPerSecond: throughputBound(connection),
    up: seen('up'),
    down: seen('down'),
    other: (['1M', '2M', 'coded-s2', 'coded-s8'] as const).flatMap((phy) =>
      choices.map((choice) => ({
        phy,
        ...choice,
        kbitPerSecond: packing({ ...connection, ...choice, phy }, choice.mtu - valueHeader).kbitPerSecond,
      })),
    ),
    basis: packingBasis,
  };
}
