import type { Basis } from '../basis.ts';
import type { Connection } from '../air/connection.ts';
import { dataPacketTime, interFrameSpace } from '../../radio/air-time.ts';
import { listenTime, type Advertiser } from '../found/scan.ts';
import { advertisingChannels } from '../found/scan.ts';
import type { Stream } from '../link/stream.ts';
import type { Span } from './span.ts';
import { supplyKeys, type Supply, type SupplyKey } from './supply.ts';

/** What the board does all the time. */
export type Activity =
  | { readonly kind: 'advertising'; readonly advertiser: Advertiser }
  | { readonly kind: 'connected'; readonly connection: Connection; readonly streams: readonly Stream[] };

/** Mean current of each part, µA. */
export type Currents = {
  readonly sleep: number;
  readonly radioStart: number;
  readonly transmit: number;
  readonly receive: number;
  readonly processor: number;
  readonly sensor: number;
  readonly other: number;
};

export type Energy = {
  readonly activity: Activity['kind'];
  /** Mean current, µA. */
  readonly meanUa: Span;
  /** Where the likely current goes. */
  readonly parts: Currents;
  readonly lifeHours: Span;
  /** The largest current that a cell is asked for at a moment, mA. */
  readonly peakMa: Span;
  /** What the life would be at the ends of each figure, the others likely; the widest first. */
  readonly sensitivity: readonly {
    readonly key: SupplyKey;
    /** Hours at the figure's low and high end. */
    readonly atLow: number;
    readonly atHigh: number;
  }[];
  readonly caveats: readonly string[];
};

/** One value of each figure. */
type Point = Readonly<Record<SupplyKey, number>>;

const hoursPerYear = 8766;

/** Pulses that public CR2032 data sheets allow: 6.8 mA for two seconds. */
const coinCellPulseMa = 6.8;
/** Resistance from which on a cell is taken to be a coin cell, ohm. */
const coinCellOhm = 5;

/** Figures of which more is better; of all others less is. */
const welcome: readonly SupplyKey[] = ['capacityMah', 'usable', 'ratedUa'];

/** Charge that the board takes while it does one thing all the time. */
export function energy(activity: Activity, supply: Supply): Energy {
  const likely = pointAt(supply, 'likely');
  // The current rises with every figure, so its ends are at theirs; life falls with all but capacity.
  const best = pointAt(supply, 'low');
  const worst = pointAt(supply, 'high');
  const meanUa = {
    low: total(currents(activity, best)),
    likely: total(currents(activity, likely)),
    high: total(currents(activity, worst)),
  };
  const lifeHours = {
    low: life(activity, withWelcome(worst, supply, 'low')),
    likely: life(activity, likely),
    high: life(activity, withWelcome(best, supply, 'high')),
  };
  const peak = (point: Point): number => Math.max(point.transmitMa, point.receiveMa) + point.otherUa / 1000;
  const sensitivity = supplyKeys
    .map((key) => ({
      key,
      atLow: life(activity, { ...likely, [key]: supply[key].low }),
      atHigh: life(activity, { ...likely, [key]: supply[key].high }),
    }))
    .filter(({ atLow, atHigh }) => atLow !== atHigh)
    .sort((a, b) => Math.abs(b.atLow - b.atHigh) - Math.abs(a.atLow - a.atHigh));
  const peakMa = { low: peak(best), likely: peak(likely), high: peak(worst) };
  return {
    activity: activity.kind,
    meanUa,
    parts: currents(activity, likely),
    lifeHours,
    peakMa,
    sensitivity,
    caveats: caveats(meanUa.likely, peakMa.high, supply),
  };
}

function caveats(meanUa: number, peakMa: number, supply: Supply): readonly string[] {
  const told: string[] = [];
  const rated = supply.ratedUa.likely;
  if (meanUa > rated) {
    told.push(
      `the cell is rated at ${inMa(rated)} mA; at ${inMa(meanUa)} mA it gives less than its capacity: reckoned here by Peukert’s exponent ${supply.peukert.likely}, which is a lead-acid rule and a guess for other cells`,
    );
  }
  const drop = (peakMa * supply.resistanceOhm.high) / 1000;
  if (drop > 0.1) {
    told.push(
      `pulses of ${peakMa.toPrecision(2)} mA drop ${drop.toPrecision(2)} V over an old cell’s ${supply.resistanceOhm.high} Ω: the board must still run below that, or have a capacitor beside the cell`,
    );
  }
  if (supply.resistanceOhm.likely >= coinCellOhm && peakMa > coinCellPulseMa) {
    told.push(`public data sheets of coin cells allow pulses of ${coinCellPulseMa} mA; these are larger`);
  }
  told.push(
    'capacity falls with cold, age and pulses; the display, lamps and motors are in it only as `otherUa`',
    'cells can burn and leak: follow their maker’s limits, charge only with the right charger, never unattended, and keep coin cells from children',
  );
  return told;
}

function inMa(currentUa: number): string {
  return String(Number((currentUa / 1000).toPrecision(2)));
}

function pointAt(supply: Supply, end: keyof Span): Point {
  return Object.fromEntries(supplyKeys.map((key) => [key, supply[key][end]])) as Point;
}

function withWelcome(point: Point, supply: Supply, end: keyof Span): Point {
  return { ...point, ...Object.fromEntries(welcome.map((key) => [key, supply[key][end]])) };
}

/** Hours: usable capacity over mean current and self-discharge; Infinity when nothing draws. */
function life(activity: Activity, point: Point): number {
  const selfUa = (point.capacityMah * 1000 * point.selfDischargePerYear) / hoursPerYear;
  const loadUa = total(currents(activity, point)) + selfUa;
  return point.usable * hoursAtLoad(point.capacityMah * 1000, loadUa, point.ratedUa, point.peukert);
}

/**
 * Hours that a cell of so much capacity at its rated load gives another load: C / I, above the rated load shortened to
 * C / I × (rated / I)^(k - 1). With a rating at 1 A that is Peukert's t = C / I^k.
 *
 * @param capacity and loads in units that go together: Ah and A, or µAh and µA
 */
export function hoursAtLoad(capacity: number, load: number, rated: number, exponent: number): number {
  return (capacity / load) * Math.min(1, (rated / load) ** (exponent - 1));
}

function total(parts: Currents): number {
  return Object.values(parts).reduce((sum, part) => sum + part, 0);
}

/** µs a second in each state, times its current. */
function currents(activity: Activity, point: Point): Currents {
  const times = activity.kind === 'advertising' ? advertisingTimes(activity) : connectedTimes(activity, point);
  const rampUs = times.events * point.rampUs;
  const cpuUs = times.events * point.cpuPerEventUs;
  const sensorUs = point.sensorHz * point.sensorUs;
  // µs a second × mA / 1000 = µA.
  return {
    sleep: point.sleepUa,
    radioStart: (rampUs * point.rampMa) / 1000,
    transmit: (times.transmit * point.transmitMa) / 1000,
    receive: (times.receive * point.receiveMa) / 1000,
    processor: (cpuUs * point.cpuMa) / 1000,
    sensor: (sensorUs * point.sensorMa) / 1000,
    other: point.otherUa,
  };
}

/** Radio events a second, and µs of transmission and reception in them. The space between packets counts as reception. */
type Times = { readonly events: number; readonly transmit: number; readonly receive: number };

function advertisingTimes({ advertiser }: { readonly advertiser: Advertiser }): Times {
  const events = 1_000_000 / (advertiser.interval + advertiser.delay / 2);
  return {
    events,
    transmit: events * advertisingChannels * advertiser.packet,
    receive: events * advertisingChannels * listenTime('1M'),
  };
}

function connectedTimes(activity: Activity & { readonly kind: 'connected' }, { clockPpm }: Point): Times {
  const { connection, streams } = activity;
  const { interval, latency, phy, encrypted, packetErrorRate } = connection;
  const perEvent = 1_000_000 / interval;
  const attempts = 1 / (1 - packetErrorRate) ** 2;
  // Chance that an event has nothing to send; of those the board listens to one in latency + 1.
  const idle = streams.reduce((chance, { spacing }) => chance * (1 - Math.min(1, interval / spacing)), 1);
  const idleEvents = (perEvent * idle) / (latency + 1);
  const events = perEvent * (1 - idle) + idleEvents;
  // Window widening: clocks drift apart since the last anchor heard, and 16 µs of jitter, both ways. Core Vol 6 Part B 4.2.4.
  const sinceLast = 1_000_000 / events;
  const widening = 2 * ((clockPpm / 1_000_000) * sinceLast + 16);
  const empty = dataPacketTime(phy, 0, false);
  let transmit = idleEvents * empty;
  let receive = idleEvents * (empty + interFrameSpace) + (events * widening) / 2;
  for (const { payloads, pairs, spacing } of streams) {
    const rate = (1_000_000 / spacing) * attempts;
    for (const payload of payloads) transmit += rate * dataPacketTime(phy, payload, encrypted);
    receive += rate * pairs.length * (empty + interFrameSpace);
  }
  return { events, transmit, receive };
}

export const energyBasis: Basis = {
  formula:
    'mean current = Σ current × time in state / time; life = capacity × usable / I, above the rated load × (rated / I)^(k - 1), I = mean current + self-discharge; receive window widened by ppm × time since the last anchor + 16 µs',
  source:
    'charge is current times time; Core Vol 6 Part B 4.2.4 (window widening); CR2032: 225 mAh, 0.2 mA, pulses 6.8 mA (public data sheets); Peukert: t = C / I^k',
  assumes: [
    'the board does the one thing all the time; mix the rows by their shares of the day',
    'ranges are carried at their ends: all figures low, all high',
    'the space between packets costs as much as reception',
    'each value is sent at its highest declared rate',
  ],
  validity: [
    'an upper bound on life: leakage, regulators, inrush and the cell’s resistance take more',
    'Peukert’s exponent is a lead-acid rule; for coin cells pulses and inner resistance matter more',
    'figures of the preset are invented; only a measurement of the real board is proof',
  ],
};
