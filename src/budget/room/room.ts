import type { Microseconds } from '../../base/quantity.ts';
import { compared, type Basis, type Compared } from '../basis.ts';
import type { Advertiser, ScanPattern } from '../found/scan.ts';
import { quantileOf, shareHalfWidth } from '../statistics.ts';
import { meanEventTime, runAdvertising } from './advertising-run.ts';
import { dataChannels, eventCollision, mostAdvertisers, mostConnections, survival } from './collision.ts';
import { runData } from './data-run.ts';

/** What a room is asked about. */
export type RoomQuestion = {
  /** Boards that advertise at the same time, each with a client that waits for it. */
  readonly advertising: number;
  readonly connected: number;
  readonly scan: ScanPattern;
  /** The room works while an advertising packet survives with this chance, and a connection event meets another with that. */
  readonly survival: number;
  readonly collision: number;
  /** Room time of a run beside those that the figures need, µs; `undefined`: none. */
  readonly time?: Microseconds | undefined;
  readonly seed: number;
};

/** Of one connection as the contract's rates fill it. */
export type RoomLink = {
  readonly interval: Microseconds;
  /** Mean time on the air in one event, µs. */
  readonly busy: number;
};

export type Room = {
  readonly question: RoomQuestion;
  /** Chance that an advertising packet meets no other, with everybody advertising. */
  readonly survival: Compared;
  /** Share of time that one advertising channel is filled, overlaps counted twice. */
  readonly advertisingLoad: number;
  /** Share of time that one data channel is filled on average. */
  readonly dataLoad: number;
  /** Chance that a connection event meets another. */
  readonly collision: Compared;
  /** Events that must be repeated for it, for each that succeeds. */
  readonly retransmissions: number;
  /** µs until so many are connected after everybody has switched on within one advertising interval. */
  readonly joined: {
    readonly half: number;
    readonly p95: number;
    readonly all: number;
    /** Not connected within the run's ten minutes. */
    readonly missing: number;
  };
  readonly most: { readonly advertising: number; readonly connected: number };
  readonly basis: Basis;
  /** For a curve: what more and more boards do to each other. */
  readonly curve: readonly {
    readonly boards: number;
    readonly survival: number;
    /** From a run; `undefined` where none was made. */
    readonly survivalRun: number | undefined;
    readonly collision: number;
  }[];
  /** The run of the room time that was asked for. */
  readonly long: RoomTime | undefined;
  /** Connections that one central can serve one after another within one interval. */
  readonly mostOfOneCentral: number;
};

/** A room of so many advertising and connected boards, packet by packet for so long. */
export type RoomTime = {
  readonly time: Microseconds;
  readonly packets: number;
  readonly survival: Compared;
  readonly events: number;
  readonly collision: Compared;
};

const joinLimit = 600_000_000 as Microseconds;
/** Room sizes of the curve; runs are made for those that take little time. */
const curveSizes = [1, 2, 3, 5, 7, 10, 15, 20, 30, 40, 50, 70, 100, 150, 200, 300, 500] as const;
const curveRuns: readonly number[] = [2, 5, 10, 20, 50, 100, 200, 500];
const curvePackets = 9_000;
/** Packets that a run is made long enough for. */
const wishedPackets = 60_000;

/** A room of boards of one contract: closed forms, and seeded runs beside them. */
export function room(advertiser: Advertiser, link: RoomLink, question: RoomQuestion): Room {
  const mean = meanEventTime(advertiser);
  const { advertising, connected, seed } = question;
  const together = {
    boards: advertising,
    spread: advertiser.interval,
    connectionInterval: link.interval,
    seed,
  };
  const survivalOf = (boards: number, packets: number): Compared => survivalRun(advertiser, boards, packets, seed);
  const join = runAdvertising(advertiser, { ...together, duration: joinLimit, scan: question.scan });
  const data = dataCollisions(link, connected, seed);
  const closedCollision = eventCollision(link.busy, link.interval, Math.max(0, connected - 1));
  const at = (part: number): number => joinedAt(join.connected, advertising, part);
  return {
    question,
    survival: survivalOf(advertising, wishedPackets),
    advertisingLoad: (advertising * advertiser.packet) / mean,
    dataLoad: (connected * link.busy) / link.interval / dataChannels,
    collision: compared(closedCollision, data.share, data.halfWidth),
    retransmissions: closedCollision / (1 - closedCollision),
    joined: { half: at(0.5), p95: at(0.95), all: at(1), missing: advertising - join.connected.length },
    basis: roomBasis,
    most: {
      advertising: mostAdvertisers(advertiser.packet, mean, question.survival),
      connected: mostConnections(link.busy, link.interval, question.collision),
    },
    curve: curveSizes.map((boards) => ({
      boards,
      survival: survival(advertiser.packet, mean, boards - 1),
      survivalRun: curveRuns.includes(boards) ? survivalOf(boards, curvePackets).run : undefined,
      collision: eventCollision(link.busy, link.interval, boards - 1),
    })),
    long: question.time === undefined ? undefined : roomTime(advertiser, link, question, question.time),
    mostOfOneCentral: Math.floor(link.interval / link.busy),
  };
}

/** Survival by formula, and by a run of so many packets or a few more. */
function survivalRun(advertiser: Advertiser, boards: number, wished: number, seed: number): Compared {
  const mean = meanEventTime(advertiser);
  const duration = Math.ceil((wished / 3 / Math.max(1, boards)) * mean) as Microseconds;
  const run = runAdvertising(advertiser, {
    boards,
    spread: advertiser.interval,
    // Only clients have a use for it, and there are none.
    connectionInterval: advertiser.interval,
    duration,
    scan: undefined,
    seed,
  });
  return comparedSurvival(advertiser, boards, run.packets, run.collided);
}

function comparedSurvival(advertiser: Advertiser, boards: number, packets: number, collided: number): Compared {
  const share = packets === 0 ? 1 : 1 - collided / packets;
  // The packets of one event meet or miss together: a third of them are independent.
  return compared(
    survival(advertiser.packet, meanEventTime(advertiser), Math.max(0, boards - 1)),
    share,
    packets === 0 ? undefined : shareHalfWidth(share, packets / 3),
  );
}

/** A whole lesson, or night: every packet of the advertisers and every event of the connections. */
export function roomTime(
  advertiser: Advertiser,
  link: RoomLink,
  { advertising, connected, seed }: Pick<RoomQuestion, 'advertising' | 'connected' | 'seed'>,
  time: Microseconds,
): RoomTime {
  const noise = runAdvertising(advertiser, {
    boards: advertising,
    spread: advertiser.interval,
    connectionInterval: link.interval,
    duration: time,
    scan: undefined,
    seed,
  });
  const data = runData({ ...link, connections: connected, ppm: 50, duration: time, seed });
  const closed = eventCollision(link.busy, link.interval, Math.max(0, connected - 1));
  const share = data.events === 0 ? 0 : data.collided / data.events;
  return {
    time,
    packets: noise.packets,
    survival: comparedSurvival(advertiser, advertising, noise.packets, noise.collided),
    events: data.events,
    // Phases stay for minutes, so the events of one run are far from independent: no interval is claimed.
    collision: compared(closed, share),
  };
}

/** Rooms with phases of their own, some events each: phases stay, so one room alone says little. */
function dataCollisions(
  link: RoomLink,
  connections: number,
  seed: number,
): { readonly share: number; readonly halfWidth: number } {
  if (connections === 0) return { share: 0, halfWidth: 0 };
  const rooms = 200;
  const shares = Float64Array.from({ length: rooms }, (_, i) => {
    const duration = (20 * link.interval) as Microseconds;
    const run = runData({ ...link, connections, ppm: 50, duration, seed: seed * rooms + i });
    return run.collided / run.events;
  });
  const mean = shares.reduce((sum, share) => sum + share, 0) / rooms;
  const variance = shares.reduce((sum, share) => sum + (share - mean) ** 2, 0) / (rooms - 1);
  return { share: mean, halfWidth: 1.96 * Math.sqrt(variance / rooms) };
}

/** NaN when fewer than that part were connected at all. */
function joinedAt(connected: Float64Array, boards: number, part: number): number {
  const needed = Math.ceil(part * boards);
  return needed === 0 || connected.length < needed ? Number.NaN : quantileOf(connected, needed / connected.length);
}

const roomBasis: Basis = {
  formula:
    'survival = (1 - 2 τ / (I + 5 ms))^(N - 1); event collision = 1 - (1 - 2 b / I / 37)^(M - 1); retransmissions = c / (1 - c)',
  source:
    'pure ALOHA’s vulnerable time (Abramson 1970: S = G e^(-2G)); Core Vol 6 Part B 1.4.1, 4.4.2.2.1, 4.5; derived here, not published',
  assumes: [
    'all hear all; two packets that overlap on one channel are both lost',
    'each board has a client of its own, which connects to the first packet it hears',
    'all boards send packets of one length, so those that meet on one channel meet on all three',
    'connections keep random phases, hop over all 37 channels and know nothing of each other',
  ],
  validity: [
    'nearby radios capture the stronger packet, so rooms lose less than this; scan requests and other radio networks make them lose more',
    'averaged over phases: a single pair of connections in step fares worse for minutes, until their clocks part',
    'one central that serves several boards places them one after another and does not collide with itself',
  ],
};
