import type { Clock } from '../base/clock.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Random } from '../base/random.ts';
import type { AirPacket } from './air-packet.ts';
import type { Radio } from './radio.ts';

export type AirObserver = (packet: AirPacket) => void;

/** Decides about a packet before chance does: true = the receiver does not get it. */
export type Interference = (
  packet: { readonly at: Microseconds; readonly channel: number },
  from: Radio,
  to: Radio,
) => boolean;

/** A transmission on an advertising channel. */
type Transmission = { readonly start: number; readonly end: number; readonly radio: Radio };

/** Longest packet on an advertising channel, with space around: what ended before cannot meet what begins now. */
const longestAdvertisingPacket = 400;

/** What all radios of a room share: who hears whom, what meets on a channel, who looks on. */
export class Air {
  readonly clock: Clock;
  readonly #observers = new Set<AirObserver>();
  #interference: Interference | undefined;
  #defaultRate: number;
  readonly #rates = new Map<number, number>();
  readonly #signals = new Map<number, number>();
  /** Recent transmissions by advertising channel 37, 38, 39. */
  readonly #recent: readonly Transmission[][] = [[], [], []];

  constructor(clock: Clock, packetErrorRate: number) {
    this.clock = clock;
    this.#defaultRate = packetErrorRate;
  }

  /** Whether every packet must really be made: somebody looks on or interferes. */
  get watched(): boolean {
    return this.#observers.size > 0 || this.#interference !== undefined;
  }

  observe(observer: AirObserver): () => void {
    this.#observers.add(observer);
    return () => {
      this.#observers.delete(observer);
    };
  }

  interfere(interference: Interference | undefined): void {
    this.#interference = interference;
  }

  /** @param make builds the packet, only if somebody looks on */
  record(make: () => AirPacket): void {
    if (this.#observers.size === 0) return;
    const packet = make();
    for (const observer of this.#observers) observer(packet);
  }

  setRate(rate: number): void {
    this.#defaultRate = rate;
    this.#rates.clear();
  }

  setPathRate(a: Radio, b: Radio, rate: number): void {
    this.#rates.set(path(a, b), rate);
  }

  rate(a: Radio, b: Radio): number {
    return this.#rates.get(path(a, b)) ?? this.#defaultRate;
  }

  setSignal(a: Radio, b: Radio, dbm: number): void {
    this.#signals.set(path(a, b), dbm);
  }

  /** Signal strength at the other end of a path, dBm; -60 unless set. */
  signal(a: Radio, b: Radio): number {
    return this.#signals.get(path(a, b)) ?? -60;
  }

  /** Whether `to` gets a packet of `from`, so far as path and chance decide. */
  carries(from: Radio, to: Radio, random: Random, at: Microseconds, channel: number): boolean {
    if (from.muted || to.muted) return false;
    if (this.#interference?.({ at, channel }, from, to) === true) return false;
    const rate = this.rate(from, to);
    return rate === 0 || random.unit() >= rate;
  }

  /** Tells of a packet on an advertising channel, at its start. */
  begin(channel: number, start: Microseconds, end: Microseconds, radio: Radio): void {
    const recent = this.#recent[channel - 37] ?? [];
    const old = recent.findIndex((other) => other.end > start - longestAdvertisingPacket);
    recent.splice(0, old < 0 ? recent.length : old);
    recent.push({ start, end, radio });
  }

  /** Whether a packet met another on its channel; asked at its end. */
  collided(channel: number, start: Microseconds, end: Microseconds, radio: Radio): boolean {
    const recent = this.#recent[channel - 37] ?? [];
    return recent.some((other) => other.radio !== radio && other.start < end && other.end > start);
  }
}

/** The same number for both directions. */
function path(a: Radio, b: Radio): number {
  return Math.min(a.id, b.id) * 65_536 + Math.max(a.id, b.id);
}
