import { us, type Microseconds } from '../../base/quantity.ts';
import { compared, type Compared } from '../basis.ts';
import type { Connection } from '../air/connection.ts';
import { packing, valueHeader } from '../air/packing.ts';
import { linkUse, linkUseBasis, type LinkUse } from './link-use.ts';
import { runLink, type EventTrace } from './link-run.ts';
import { sourcesOf, type Stream } from './stream.ts';

export type LinkReport = LinkUse & {
  /** Share of time from the first packet of each event to the space behind its last: formula and run. */
  readonly busyCompared: Compared;
  /** The longest queue that the run saw, messages; and the share of packets lost in it. */
  readonly longestQueue: number;
  readonly lostShare: number;
  /** Notifications of each value, alone, that one connection event holds. */
  readonly perEvent: readonly { readonly id: string; readonly messages: number }[];
  /** Connection events, packet by packet, for a timeline to scale. */
  readonly trace: readonly EventTrace[];
  readonly basis: typeof linkUseBasis;
};

const runs = 12;
const mostEvents = 3000;
const mostMessages = 6000;

/** Use of the link by the contract's rates: formula, and runs with phases of their own. */
export function linkReport(connection: Connection, streams: readonly Stream[], seed: number): LinkReport {
  const use = linkUse(connection, streams);
  const slowest = Math.max(1_000_000, ...streams.map(({ spacing }) => spacing));
  const rate = streams.reduce((sum, { spacing }) => sum + 1 / spacing, 0);
  const duration: Microseconds = us(
    Math.max(
      30 * connection.interval,
      Math.min(mostEvents * connection.interval, 20 * slowest, rate > 0 ? mostMessages / rate : Infinity),
    ),
  );
  const sources = sourcesOf(streams, ({ spacing }) => ({ kind: 'every', period: spacing }));
  const made = Array.from({ length: runs }, (_, i) =>
    runLink(connection, sources, { duration, seed: seed * runs + i }),
  );
  const shares = made.map((run) => run.busy / run.duration);
  const mean = shares.reduce((sum, share) => sum + share, 0) / runs;
  const variance = shares.reduce((sum, share) => sum + (share - mean) ** 2, 0) / (runs - 1);
  const packets = made.reduce((sum, run) => sum + run.packets, 0);
  return {
    ...use,
    busyCompared: compared(use.busy, mean, 1.96 * Math.sqrt(variance / runs)),
    longestQueue: Math.max(0, ...made.map((run) => run.longestQueue)),
    lostShare: packets === 0 ? 0 : made.reduce((sum, run) => sum + run.lost, 0) / packets,
    perEvent: streams.map(({ id, sent }) => ({
      id,
      messages: packing(connection, Math.min(sent, connection.mtu - valueHeader)).messagesPerEvent,
    })),
    trace: made[0]?.trace ?? [],
    basis: linkUseBasis,
  };
}
