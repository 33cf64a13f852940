import type { Cancel } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Random } from '../../base/random.ts';
import { hciErrors } from '../../hci/error-codes.ts';
import type { Air } from '../air.ts';
import { interFrameSpace } from '../air-time.ts';
import {
  channelIdentifier,
  nextUnmapped1,
  selectChannel1,
  selectChannel2,
  type ChannelSet,
} from '../pdu/channel-selection.ts';
import { encodeDataPdu } from '../pdu/data-pdu.ts';
import type { Appointment, Radio } from '../radio.ts';
import type { Instant } from './instant.ts';
import { leastGap } from './place-anchor.ts';
import type { LinkEnd, OnAir } from './link-end.ts';

/** Intervals without a packet after which a new connection is given up. Core Vol 6 Part B 4.5.2. */
const establishIntervals = 6;

export type LinkOptions = {
  readonly air: Air;
  readonly random: Random;
  readonly central: LinkEnd;
  /** Closed from the beginning when the request did not reach the peripheral. */
  readonly peripheral: LinkEnd;
  readonly accessAddress: number;
  readonly crcInit: number;
  /** Channel selection #1 with this hop increment; `undefined`: #2. */
  readonly hop: number | undefined;
  readonly channels: ChannelSet;
  readonly interval: Microseconds;
  readonly latency: number;
  readonly timeout: Microseconds;
  /** End of the request. */
  readonly created: Microseconds;
  readonly firstAnchor: Microseconds;
  /** The most that the central spends on one event; `Infinity`: no bound but the interval. */
  readonly eventLength: number;
};

/** What happens next in a connection event. */
type Phase = 'anchor' | 'central-sends' | 'central-sent' | 'peripheral-sends' | 'peripheral-sent';

/**
 * A connection: both ends and the events at which they meet. Core Vol 6 Part B 4.5.
 *
 * Time advances in steps, each at its own time. While something is to be said, each step is a call of the clock. While
 * both ends only say that they are there, nothing is scheduled: the steps in between are taken when somebody asks, in a
 * row, by the same code with the same random numbers. So an idle hour costs next to nothing and is the same to the bit.
 *
 * The file is long because the steps, and the sharing of a radio among connections, work on one state.
 */
export class Link implements Appointment {
  readonly air: Air;
  readonly accessAddress: number;
  readonly crcInit: number;
  readonly central: LinkEnd;
  readonly peripheral: LinkEnd;
  readonly hop: number | undefined;
  channels: ChannelSet;
  interval: Microseconds;
  latency: number;
  timeout: Microseconds;
  eventLength: number;
  /** Counter of the current or next connection event, 16 bits. */
  counter = 0;
  readonly instants: Instant[] = [];
  readonly counts = { events: 0, lost: 0 };
  /** Called when both ends are closed. */
  onEnd: () => void = () => undefined;

  readonly #random: Random;
  readonly #identifier: number;
  readonly #created: Microseconds;
  #phase: Phase = 'anchor';
  /** When the next step is due. */
  #at: Microseconds;
  #anchor: Microseconds;
  /** Start of the packet under way. */
  #start: Microseconds = us(0);
  #packet: OnAir = { header: 0, payload: new Uint8Array(0) };
  /** By when the event must be over. */
  #limit = us(0);
  /** As {@link #limit}, for the first pair: other connections need not be heeded. */
  #firstLimit = us(0);
  #channel = 0;
  #unmapped = 0;
  #centralHasMore = false;
  #listening = false;
  #heardInEvent = false;
  /** From the first packet of the last event to the end of its last. */
  #busyFrom = us(0);
  #busyTo = us(0);
  /** Event, counted without end, at which a sleeping peripheral listens again. */
  #listenAt = 0;
  #stepping = false;
  #cancel: Cancel | undefined;
  /** Events for which every step is a call of the clock although nothing is to be said. */
  #attentive = 0;
  /** No step is scheduled: those that come due are taken when somebody asks. */
  #sleeping = false;
  #lastServed = 0;
  #ended = false;

  constructor(options: LinkOptions) {
    this.air = options.air;
    this.#random = options.random;
    this.central = options.central;
    this.peripheral = options.peripheral;
    this.accessAddress = options.accessAddress;
    this.crcInit = options.crcInit;
    this.hop = options.hop;
    this.channels = options.channels;
    this.interval = options.interval;
    this.latency = options.latency;
    this.timeout = options.timeout;
    this.eventLength = options.eventLength;
    this.#identifier = channelIdentifier(options.accessAddress);
    this.#created = options.created;
    this.#anchor = options.firstAnchor;
    this.#at = options.firstAnchor;
    for (const end of this.#openEnds()) {
      end.radio.appointments.add(this);
      this.#watch(end, us(this.#created + establishIntervals * this.interval));
    }
    this.#schedule();
    this.reconsider();
  }

  /** The time of the step under way, else now: when what happens now happens. */
  get now(): Microseconds {
    return this.#stepping ? this.#at : this.air.clock.now();
  }

  /** Start of the current or next event. */
  get anchor(): Microseconds {
    return this.#anchor;
  }

  /** Start of the next event after `time`, as far as it is known now. */
  anchorAfter(time: Microseconds): Microseconds {
    const events = Math.max(0, Math.floor((time - this.#anchor) / this.interval) + 1);
    return us(this.#anchor + events * this.interval);
  }

  /** Up to now as it was, from now on as it is planned. */
  overlaps(from: Microseconds, to: Microseconds): boolean {
    this.sync();
    const underWay = this.#phase !== 'anchor' && this.#anchor < to;
    const before = this.#busyFrom < to && this.#busyTo > from;
    return underWay || before || this.anchorAfter(us(Math.max(from, this.now))) < to;
  }

  /** Does something to this connection now: takes the steps that are due first, and plans the next afterwards. */
  act<T>(action: () => T): T {
    if (this.#stepping) return action();
    this.sync();
    const result = action();
    this.#settle();
    return result;
  }

  /** Takes all steps that are due. */
  sync(): void {
    if (this.#stepping) return;
    const now = this.air.clock.now();
    this.#stepping = true;
    while ((this.central.open || this.peripheral.open) && this.#at <= now) this.#step();
    this.#stepping = false;
  }

  /** Makes the next events' steps calls of the clock, for another connection that needs the same radio. */
  attend(events: number): void {
    this.act(() => {
      this.#attentive = Math.max(this.#attentive, events);
    });
  }

  /** Lets the other connections of both radios see whether this one, as it is now, comes in their way. */
  reconsider(): void {
    for (const other of this.#neighbours()) other.act(() => undefined);
  }

  other(end: LinkEnd): LinkEnd {
    return end === this.central ? this.peripheral : this.central;
  }

  /** Moves the anchor point of the event about to begin. */
  moveAnchor(by: Microseconds): void {
    this.#anchor = us(this.#anchor + by);
  }

  /** Other connections of an end's radio. */
  neighboursOf(end: LinkEnd): readonly Link[] {
    return [...this.#neighbours(end)];
  }

  #openEnds(): readonly LinkEnd[] {
    return [this.central, this.peripheral].filter((end) => end.open);
  }

  /** Whether nothing can happen that somebody would have to be told. */
  #dormant(): boolean {
    return (
      this.#phase === 'anchor' &&
      this.#attentive === 0 &&
      this.instants.length === 0 &&
      !this.air.watched &&
      this.#openEnds().every((end) => end.idle && (end.established || !this.other(end).open)) &&
      !this.#mayCollide()
    );
  }

  /** Whether there are other connections whose idle events can overlap those of this one. */
  #mayCollide(): boolean {
    if (!this.#hasNeighbours()) return false;
    for (const other of this.#neighbours()) {
      if (leastGap(this, other) < this.#emptyPair() || leastGap(other, this) < other.#emptyPair()) return true;
    }
    return false;
  }

  /** After steps or an act: an end that has closed leaves, and the next step is planned. */
  #settle(): void {
    for (const end of [this.central, this.peripheral]) if (!end.open) end.radio.appointments.delete(this);
    if (this.#ended) return;
    if (this.central.open || this.peripheral.open) {
      this.#schedule();
      return;
    }
    this.#ended = true;
    this.#cancel?.();
    this.onEnd();
  }

  #schedule(): void {
    if (this.#cancel !== undefined || this.#ended) return;
    this.#sleeping = this.#dormant();
    if (this.#sleeping) return;
    this.#cancel = this.air.clock.schedule(this.#at, () => {
      this.#cancel = undefined;
      this.sync();
      this.#settle();
    });
  }

  /** Looks at `due` whether an end has waited too long. */
  #watch(end: LinkEnd, due: Microseconds): void {
    this.air.clock.schedule(due, () => {
      if (!end.open) return;
      this.act(() => {
        if (!end.open) return;
        const limit = end.established
          ? us(end.lastHeard + this.timeout)
          : us(this.#created + establishIntervals * this.interval);
        if (limit > due) this.#watch(end, limit);
        else end.close(hciErrors[end.established ? 'connection-timeout' : 'failed-to-establish']);
      });
    });
  }

  #step(): void {
    switch (this.#phase) {
      case 'anchor':
        this.#begin();
        break;
      case 'central-sends':
        this.#firstLimit = this.#limit;
        this.#send(this.central, 'central-sent', this.#limit);
        break;
      case 'central-sent':
        this.#centralSent();
        break;
      case 'peripheral-sends':
        this.#send(this.peripheral, 'peripheral-sent', this.#firstLimit);
        break;
      case 'peripheral-sent':
        this.#peripheralSent();
        break;
    }
  }

  #begin(): void {
    this.counts.events += 1;
    this.#channel = this.#selectChannel();
    this.#limit = this.#eventLimit();
    this.#firstLimit = us(this.#anchor + this.interval - interFrameSpace);
    this.#heardInEvent = false;
    const { central, peripheral } = this;
    const asleep =
      peripheral.established && peripheral.idle && this.instants.length === 0 && this.counts.events < this.#listenAt;
    this.#listening = peripheral.open && peripheral.inStep && !asleep && this.#getsRadio(peripheral);
    if (!central.open || !this.#getsRadio(central)) {
      this.#finish();
      return;
    }
    // An event that the peripheral could not listen to has served nobody: it still waits.
    if (this.#listening) this.#lastServed = this.#anchor;
    const answer = interFrameSpace + peripheral.timeOnAir(0);
    this.#send(central, 'central-sent', us(this.#firstLimit - answer));
  }

  /** @param limit by when the packet must have ended */
  #send(end: LinkEnd, next: Phase, limit: Microseconds): void {
    this.#start = this.#at;
    this.#packet = end.take(this.#at, limit);
    if (end === this.central) this.#centralHasMore = hasMore(this.#packet);
    this.#phase = next;
    this.#at = us(this.#at + end.timeOnAir(this.#packet.payload.length));
  }

  #centralSent(): void {
    const { central, peripheral } = this;
    const heard = this.#arrives(central, peripheral, this.#listening);
    if (central.closing !== undefined) central.close(central.closing);
    if (heard) {
      this.#heardInEvent = true;
      peripheral.receive(this.#packet, this.#at);
    }
    if (!heard || !peripheral.open) {
      this.#finish();
      return;
    }
    this.#phase = 'peripheral-sends';
    this.#at = us(this.#at + interFrameSpace);
  }

  #peripheralSent(): void {
    const { central, peripheral } = this;
    const heard = this.#arrives(peripheral, central, central.open);
    const peripheralHasMore = hasMore(this.#packet);
    if (peripheral.closing !== undefined) peripheral.close(peripheral.closing);
    if (heard) central.receive(this.#packet, this.#at);
    const more = this.#centralHasMore || peripheralHasMore || central.closing !== undefined;
    const next = us(this.#at + interFrameSpace);
    if (!heard || !more || !central.open || !peripheral.open || !this.#pairFits(next)) {
      this.#finish();
      return;
    }
    this.#phase = 'central-sends';
    this.#at = next;
  }

  /** Tells whether the packet under way gets to the other end, and lets it be recorded. */
  #arrives(from: LinkEnd, to: LinkEnd, listening: boolean): boolean {
    const { air } = this;
    const heard = listening && air.carries(from.radio, to.radio, this.#random, this.#start, this.#channel);
    if (listening && !heard) this.counts.lost += 1;
    if (air.watched && !from.radio.muted) this.#record(from, to, heard || !listening);
    return heard;
  }

  #record(from: LinkEnd, to: LinkEnd, crcOk: boolean): void {
    const packet = this.#packet;
    this.air.record(() => ({
      at: this.#start,
      duration: us(this.#at - this.#start),
      channel: this.#channel,
      phy: from.phy,
      accessAddress: this.accessAddress,
      pdu: encodeDataPdu(packet.header, packet.payload),
      crcInit: this.crcInit,
      crcOk,
      rssi: this.air.signal(from.radio, to.radio),
      from: from.radio.name,
      link: {
        direction: from === this.central ? 'central-to-peripheral' : 'peripheral-to-central',
        event: this.counter,
        encrypted: from.encrypted && packet.payload.length > 0,
      },
    }));
  }

  /** Whether one more pair of packets, as they wait now, is over in time. */
  #pairFits(at: Microseconds): boolean {
    const down = this.central.nextTime(at);
    const up = this.peripheral.nextTime(at);
    return at + down + interFrameSpace + up <= this.#limit;
  }

  /** Ends the event and goes to the next. */
  #finish(): void {
    if (this.#listening) {
      const sleeps = this.#heardInEvent ? this.latency : 0;
      this.#listenAt = this.counts.events + 1 + sleeps;
    }
    this.#busyFrom = this.#anchor;
    this.#busyTo = this.#at;
    this.#attentive = Math.max(0, this.#attentive - 1);
    this.counter = (this.counter + 1) & 0xffff;
    this.#anchor = us(this.#anchor + this.interval);
    this.#applyInstants();
    this.#phase = 'anchor';
    this.#at = this.#anchor;
  }

  #applyInstants(): void {
    if (this.instants.length === 0) return;
    for (const instant of this.instants.filter(({ event }) => event === this.counter)) {
      this.instants.splice(this.instants.indexOf(instant), 1);
      if (!instant.known) this.peripheral.inStep = false;
      instant.apply();
      this.reconsider();
    }
  }

  #selectChannel(): number {
    if (this.hop === undefined) return selectChannel2(this.counter, this.#identifier, this.channels);
    this.#unmapped = nextUnmapped1(this.#unmapped, this.hop);
    return selectChannel1(this.#unmapped, this.channels);
  }

  /** An event ends a space before the next one of this or of another connection of the same radios. */
  #eventLimit(): Microseconds {
    let next = this.#anchor + Math.min(this.interval, this.eventLength + interFrameSpace);
    if (!this.#hasNeighbours()) return us(next - interFrameSpace);
    for (const other of this.#neighbours()) next = Math.min(next, other.anchorAfter(this.#anchor));
    return us(next - interFrameSpace);
  }

  #hasNeighbours(): boolean {
    return this.central.radio.appointments.size > 1 || this.peripheral.radio.appointments.size > 1;
  }

  /** Other connections that need one of the two radios. */
  *#neighbours(end?: LinkEnd): Generator<Link> {
    for (const { radio } of end === undefined ? this.#openEnds() : [end]) {
      for (const other of radio.appointments) if (other !== this && other instanceof Link) yield other;
    }
  }

  /**
   * Whether an end's radio is there for this event. A connection under way keeps it; and one that has waited longer and
   * whose event begins before a first pair of packets is over gets it. Connections that sleep keep out of one another's
   * way, and one that comes in the way of a sleeping one wakes it first.
   */
  #getsRadio(end: LinkEnd): boolean {
    if (this.#sleeping || end.radio.appointments.size === 1) return true;
    const { central, peripheral } = this;
    const longestAnswer = Math.max(peripheral.nextTime(this.#at), peripheral.longestTime);
    const least = central.nextTime(this.#at) + peripheral.nextTime(this.#at) + 2 * interFrameSpace;
    const most = central.nextTime(this.#at) + longestAnswer + 2 * interFrameSpace;
    for (const other of this.#neighbours(end)) {
      other.sync();
      const next = other.anchorAfter(this.#at);
      const taken = other.#holds(end.radio, this.#at);
      if (next < this.#at + most || taken) other.attend(2);
      if (taken) return false;
      if (next < this.#at + least && other.#lastServed < this.#lastServed) return false;
    }
    return true;
  }

  /** Whether an event that is under way, or about to be, has the radio: not that of a peripheral that left it to another. */
  #holds(radio: Radio, at: Microseconds): boolean {
    if (this.#phase !== 'anchor' && this.#at >= at)
      return this.#anchor <= at && (this.#listening || radio === this.central.radio);
    const last = this.anchorAfter(at) - this.interval;
    return last >= this.#anchor && last + this.#emptyPair() > at;
  }

  #emptyPair(): number {
    return this.central.timeOnAir(0) + interFrameSpace + this.peripheral.timeOnAir(0) + interFrameSpace;
  }
}

/** The MD bit of a PDU's header. */
function hasMore(packet: OnAir): boolean {
  return (packet.header & 0x10) !== 0;
}
