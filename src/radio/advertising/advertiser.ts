import { noBytes, type Bytes } from '../../base/bytes.ts';
import type { Cancel } from '../../base/clock.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Random } from '../../base/random.ts';
import type { DeviceAddress } from '../../hci/address.ts';
import type { Air } from '../air.ts';
import { connectPayload, interFrameSpace, packetTime, scanRequestPayload } from '../air-time.ts';
import { advertisingAccessAddress } from '../pdu/access-address.ts';
import { encodeAdvertisingPdu, type AdvertisingPduName } from '../pdu/advertising-pdu.ts';
import { advertisingCrcInit } from '../pdu/crc24.ts';
import type { Radio } from '../radio.ts';
import type { Advertisement, AdvertisementKind, Answer, Scanner } from './scanner.ts';

/** What a host has set, as advertising begins. */
export type AdvertisingSettings = {
  readonly kind: AdvertisementKind;
  readonly own: DeviceAddress;
  /** Whom a directed advertisement is for. */
  readonly target: DeviceAddress | undefined;
  readonly interval: Microseconds;
  /** Directed at high duty cycle: no random delay. */
  readonly highDuty: boolean;
  /** Of 37, 38, 39, ascending. */
  readonly channels: readonly number[];
  readonly acceptsScan: (device: DeviceAddress) => boolean;
  readonly acceptsConnection: (device: DeviceAddress) => boolean;
  readonly channelSelection2: boolean;
};

/** A scanner that answers an advertisement. */
type Answering = {
  readonly scanner: Scanner;
  readonly answer: Answer;
  readonly from: DeviceAddress;
  readonly pdu: Bytes;
};

/** What makes a connection request and takes it. */
export type ConnectionMaker = {
  /** The initiator's CONNECT_IND, and whom it comes from. */
  request(
    scanner: Scanner,
    advertisement: Advertisement,
    end: Microseconds,
  ): { readonly from: DeviceAddress; readonly pdu: Bytes };
  /** It has been sent: a connection begins at the initiator and, if `heard`, at the advertiser. */
  connect(
    scanner: Scanner,
    advertiser: Advertiser,
    advertisement: Advertisement,
    end: Microseconds,
    heard: boolean,
  ): void;
};

/** Greatest advDelay. Core Vol 6 Part B 4.4.2.2.1. */
const greatestDelay = 10_000;

/** After each packet: the space, and preamble and access address of an answer that might come. */
const listenTime = interFrameSpace + 2 + 40;

/**
 * One controller's advertising: events of one packet on each channel, `interval` + advDelay apart. Core Vol 6 Part B 4.4.2.
 * While nobody in the room listens no packet is made; only the times of the events, and the random numbers in them, go on,
 * when somebody begins to listen.
 */
export class Advertiser {
  readonly radio: Radio;
  readonly #air: Air;
  readonly #random: Random;
  readonly #scanners: ReadonlySet<Scanner>;
  readonly #maker: ConnectionMaker;
  #settings: AdvertisingSettings | undefined;
  data: Bytes = noBytes;
  scanResponse: Bytes = noBytes;
  /** Start of the event under way or to come. */
  #event: Microseconds = us(0);
  /** Which of the channels is next. */
  #index = 0;
  #cancel: Cancel | undefined;
  readonly counts = { packets: 0, collided: 0 };

  constructor(air: Air, radio: Radio, random: Random, scanners: ReadonlySet<Scanner>, maker: ConnectionMaker) {
    this.#air = air;
    this.radio = radio;
    this.#random = random;
    this.#scanners = scanners;
    this.#maker = maker;
  }

  get settings(): AdvertisingSettings | undefined {
    return this.#settings;
  }

  start(settings: AdvertisingSettings): void {
    this.stop();
    this.#settings = settings;
    this.#event = us(this.#air.clock.now() + this.#delay(settings));
    this.#index = 0;
    if (this.#watched())
      this.#at(this.#event, () => {
        this.#packet(this.#event);
      });
  }

  stop(): void {
    this.#cancel?.();
    this.#cancel = undefined;
    this.#settings = undefined;
  }

  /** Somebody listens now: events that nobody listened to are passed over. */
  wake(): void {
    const settings = this.#settings;
    if (settings === undefined || this.#cancel !== undefined) return;
    const now = this.#air.clock.now();
    const step = packetTime('1M', this.#payload(settings), false) + listenTime;
    while (this.#event + settings.channels.length * step <= now) this.#nextEvent(settings);
    this.#index = Math.max(0, Math.ceil((now - this.#event) / step));
    if (this.#index >= settings.channels.length) {
      this.#nextEvent(settings);
      this.#index = 0;
    }
    const start = us(this.#event + this.#index * step);
    this.#at(start, () => {
      this.#packet(start);
    });
  }

  #watched(): boolean {
    return this.#scanners.size > 0 || this.#air.watched;
  }

  #delay(settings: AdvertisingSettings): number {
    return settings.highDuty ? 0 : this.#random.int(greatestDelay + 1);
  }

  #nextEvent(settings: AdvertisingSettings): void {
    this.#event = us(this.#event + settings.interval + this.#delay(settings));
  }

  #at(time: Microseconds, call: () => void): void {
    this.#cancel = this.#air.clock.schedule(time, call);
  }

  #payload(settings: AdvertisingSettings): number {
    return settings.kind === 'directed' ? 12 : 6 + this.data.length;
  }

  /** Sends on the next channel, unless a connection needs the radio. */
  #packet(start: Microseconds): void {
    const settings = this.#settings;
    if (settings === undefined) return;
    const channel = settings.channels[this.#index];
    if (channel === undefined) return;
    const end = us(start + packetTime('1M', this.#payload(settings), false));
    const data = this.data;
    if (this.radio.muted || !this.radio.free(start, us(end + listenTime))) {
      this.#at(end, () => {
        this.#next(us(end + listenTime));
      });
      return;
    }
    this.#air.begin(channel, start, end, this.radio);
    this.radio.exchangeUntil = end + listenTime;
    this.counts.packets += 1;
    this.#at(end, () => {
      this.#sent(settings, channel, start, end, data);
    });
  }

  #sent(settings: AdvertisingSettings, channel: number, start: Microseconds, end: Microseconds, data: Bytes): void {
    const { kind, own, target } = settings;
    const advertisement: Advertisement = { kind, from: own, target, data: kind === 'directed' ? noBytes : data };
    const collided = this.#air.collided(channel, start, end, this.radio);
    if (collided) this.counts.collided += 1;
    this.#record(channel, start, end, !collided, () => this.#pdu(settings, data));
    const answers = collided ? [] : this.#hearers(advertisement, channel, start, end);
    if (answers.length === 0) {
      this.#next(us(end + listenTime));
      return;
    }
    const begin = us(end + interFrameSpace);
    let last = begin;
    for (const answering of answers) {
      const until = us(begin + answerTime(answering.answer));
      this.#air.begin(channel, begin, until, answering.scanner.radio);
      last = us(Math.max(last, until));
    }
    this.#at(last, () => {
      this.#answered(settings, advertisement, answers, channel, begin);
    });
  }

  /** Those who hear the packet, and want to say something. */
  #hearers(advertisement: Advertisement, channel: number, start: Microseconds, end: Microseconds): Answering[] {
    const answers: Answering[] = [];
    for (const scanner of this.#scanners) {
      const { radio } = scanner;
      if (radio === this.radio || !scanner.listens(channel, start, end)) continue;
      if (!this.#air.carries(this.radio, radio, radio.random, start, channel)) continue;
      const answer = scanner.hear(advertisement, this.radio, end, this.scanResponse.length);
      if (answer === undefined) continue;
      const { from, pdu } =
        answer === 'connect'
          ? this.#maker.request(scanner, advertisement, us(end + interFrameSpace + answerTime('connect')))
          : scanRequest(scanner, advertisement);
      answers.push({ scanner, answer, from, pdu });
    }
    return answers;
  }

  #answered(
    settings: AdvertisingSettings,
    advertisement: Advertisement,
    answers: readonly Answering[],
    channel: number,
    begin: Microseconds,
  ): void {
    let responds: Answering | undefined;
    let connects = false;
    let last = begin;
    for (const answering of answers) {
      const { scanner, answer, from, pdu } = answering;
      const end = us(begin + answerTime(answer));
      last = us(Math.max(last, end));
      const whole = !this.#air.collided(channel, begin, end, scanner.radio);
      const heard = whole && this.#air.carries(scanner.radio, this.radio, this.radio.random, begin, channel);
      if (!scanner.radio.muted) this.#recordOf(scanner.radio, channel, begin, end, whole, () => pdu);
      if (answer === 'connect') {
        const accepted = heard && settings.acceptsConnection(from);
        connects ||= accepted;
        if (accepted) this.stop();
        this.#maker.connect(scanner, this, advertisement, end, accepted);
      } else if (heard && settings.acceptsScan(from)) responds = answering;
      else scanner.answered(settings.own, this.radio, undefined);
    }
    if (connects) return;
    if (responds === undefined || this.#settings !== settings) this.#next(us(last + interFrameSpace));
    else this.#respond(settings, responds.scanner, channel, us(last + interFrameSpace));
  }

  #respond(settings: AdvertisingSettings, scanner: Scanner, channel: number, start: Microseconds): void {
    const data = this.scanResponse;
    const end = us(start + packetTime('1M', 6 + data.length, false));
    this.#at(start, () => {
      this.#air.begin(channel, start, end, this.radio);
    });
    this.#at(end, () => {
      const whole = !this.#air.collided(channel, start, end, this.radio);
      this.#record(channel, start, end, whole, () => encodeAdvertisingPdu('scan-rsp', settings.own, { data }));
      const heard = whole && this.#air.carries(this.radio, scanner.radio, scanner.radio.random, start, channel);
      scanner.answered(settings.own, this.radio, heard ? data : undefined);
      this.#next(us(end + interFrameSpace));
    });
  }

  /** Goes on to the next channel, not before `time`, or to the next event. */
  #next(time: Microseconds): void {
    const settings = this.#settings;
    this.#cancel = undefined;
    if (settings === undefined) return;
    this.#index += 1;
    let start = time;
    if (this.#index >= settings.channels.length) {
      this.#index = 0;
      this.#nextEvent(settings);
      if (!this.#watched()) return;
      start = us(Math.max(this.#event, time));
    }
    this.#at(start, () => {
      this.#packet(start);
    });
  }

  #pdu(settings: AdvertisingSettings, data: Bytes): Bytes {
    const { own, target, channelSelection2 } = settings;
    const name = pduNames[settings.kind];
    if (settings.kind === 'directed') return encodeAdvertisingPdu(name, own, { peer: target, channelSelection2 });
    return encodeAdvertisingPdu(name, own, {
      data,
      channelSelection2: channelSelection2 && settings.kind === 'connectable',
    });
  }

  #record(channel: number, start: Microseconds, end: Microseconds, crcOk: boolean, pdu: () => Bytes): void {
    this.#recordOf(this.radio, channel, start, end, crcOk, pdu);
  }

  #recordOf(
    radio: Radio,
    channel: number,
    start: Microseconds,
    end: Microseconds,
    crcOk: boolean,
    pdu: () => Bytes,
  ): void {
    this.#air.record(() => ({
      at: start,
      duration: us(end - start),
      channel,
      phy: '1M',
      accessAddress: advertisingAccessAddress,
      pdu: pdu(),
      crcInit: advertisingCrcInit,
      crcOk,
      rssi: -60,
      from: radio.name,
    }));
  }
}

const pduNames: Readonly<Record<AdvertisementKind, AdvertisingPduName>> = {
  connectable: 'adv-ind',
  directed: 'adv-direct-ind',
  scannable: 'adv-scan-ind',
  'non-connectable': 'adv-nonconn-ind',
};

function answerTime(answer: Answer): Microseconds {
  return packetTime('1M', answer === 'connect' ? connectPayload : scanRequestPayload, false);
}

function scanRequest(scanner: Scanner, advertisement: Advertisement): { from: DeviceAddress; pdu: Bytes } {
  const from = scanner.scanAddress;
  return { from, pdu: encodeAdvertisingPdu('scan-req', from, { peer: advertisement.from }) };
}
