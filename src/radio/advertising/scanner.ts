import { us, type Microseconds } from '../../base/quantity.ts';
import type { Bytes } from '../../base/bytes.ts';
import { deviceKey, type DeviceAddress } from '../../hci/address.ts';
import type { Air } from '../air.ts';
import { connectPayload, interFrameSpace, packetTime, scanRequestPayload } from '../air-time.ts';
import type { Radio } from '../radio.ts';
import { asked, freshBackoff, hearAdvertisement, type ScanBackoff } from './scan-backoff.ts';
import { listens, type ScanPattern } from './scan-window.ts';

/** Kinds of advertisement, by the event type of an advertising report. Core Vol 4 Part E 7.7.65.2. */
export const reportType = { connectable: 0, directed: 1, scannable: 2, 'non-connectable': 3, response: 4 } as const;

export type AdvertisementKind = 'connectable' | 'directed' | 'scannable' | 'non-connectable';

/** What an advertiser says in one packet. */
export type Advertisement = {
  readonly kind: AdvertisementKind;
  readonly from: DeviceAddress;
  /** Whom a directed one is for. */
  readonly target: DeviceAddress | undefined;
  readonly data: Bytes;
};

export type ScanSettings = ScanPattern & {
  readonly active: boolean;
  readonly own: DeviceAddress;
  readonly filterDuplicates: boolean;
  /** Whether a device is listened to at all. */
  readonly accepts: (device: DeviceAddress) => boolean;
};

export type InitiateSettings = ScanPattern & {
  readonly own: DeviceAddress;
  readonly accepts: (device: DeviceAddress) => boolean;
};

/** What a scanner says to an advertiser. */
export type Answer = 'scan' | 'connect';

export type Report = {
  readonly type: number;
  readonly from: DeviceAddress;
  readonly data: Bytes;
  readonly rssi: number;
};

/** One controller's scanning and initiating. While it initiates, the initiating window rules and reports come from it. */
export class Scanner {
  readonly radio: Radio;
  readonly #air: Air;
  readonly #report: (report: Report) => void;
  #scan: ScanSettings | undefined;
  #initiate: InitiateSettings | undefined;
  #seen = new Set<string>();
  #backoff: ScanBackoff = freshBackoff;

  constructor(air: Air, radio: Radio, report: (report: Report) => void) {
    this.#air = air;
    this.radio = radio;
    this.#report = report;
  }

  get scanning(): boolean {
    return this.#scan !== undefined;
  }

  /** Whose address a scan request carries. */
  get scanAddress(): DeviceAddress {
    return this.#scan?.own ?? { type: 0, address: '00:00:00:00:00:00' };
  }

  get initiating(): InitiateSettings | undefined {
    return this.#initiate;
  }

  get active(): boolean {
    return this.#scan !== undefined || this.#initiate !== undefined;
  }

  /** Begins, or begins anew: what was seen is forgotten. */
  scan(settings: ScanSettings | undefined): void {
    this.#scan = settings;
    this.#seen = new Set();
    this.#backoff = freshBackoff;
  }

  initiate(settings: InitiateSettings | undefined): void {
    this.#initiate = settings;
  }

  listens(channel: number, start: Microseconds, end: Microseconds): boolean {
    const pattern = this.#initiate ?? this.#scan;
    if (pattern === undefined || start < this.radio.exchangeUntil) return false;
    return listens(pattern, channel, start, end) && this.radio.free(start, end);
  }

  /**
   * Takes an advertisement that ended at `end`; tells what to say to it.
   *
   * @param responseOctets of the scan response that would come
   */
  hear(advertisement: Advertisement, advertiser: Radio, end: Microseconds, responseOctets: number): Answer | undefined {
    const rssi = this.#air.signal(advertiser, this.radio);
    const { kind, from, data } = advertisement;
    const scan = this.#scan;
    const heeds = scan?.accepts(from) === true && this.#isForMe(advertisement, scan.own);
    if (heeds) this.#tell({ type: reportType[kind], from, data, rssi });
    if (this.#wantsToConnect(advertisement) && this.#reserve(end, packetTime('1M', connectPayload, false)))
      return 'connect';
    if (scan?.active !== true || !heeds || (kind !== 'connectable' && kind !== 'scannable')) return undefined;
    if (scan.filterDuplicates && this.#seen.has(reportKey(reportType.response, from))) return undefined;
    const { backoff, ask } = hearAdvertisement(this.#backoff);
    this.#backoff = backoff;
    const request = packetTime('1M', scanRequestPayload, false);
    const exchange = us(request + interFrameSpace + packetTime('1M', 6 + responseOctets, false));
    return ask && this.#reserve(end, exchange) ? 'scan' : undefined;
  }

  /** A scan request was answered, with this data, or was not. */
  answered(from: DeviceAddress, advertiser: Radio, data: Bytes | undefined): void {
    this.#backoff = asked(this.#backoff, data !== undefined, this.radio.random);
    if (data === undefined || this.#scan === undefined) return;
    this.#tell({ type: reportType.response, from, data, rssi: this.#air.signal(advertiser, this.radio) });
  }

  #wantsToConnect(advertisement: Advertisement): boolean {
    const initiate = this.#initiate;
    if (initiate === undefined) return false;
    const { kind, from } = advertisement;
    if (kind !== 'connectable' && kind !== 'directed') return false;
    return initiate.accepts(from) && this.#isForMe(advertisement, initiate.own);
  }

  #isForMe(advertisement: Advertisement, own: DeviceAddress): boolean {
    return advertisement.target === undefined || deviceKey(advertisement.target) === deviceKey(own);
  }

  /** Takes the radio for an exchange after `end`, if no connection needs it. */
  #reserve(end: Microseconds, exchange: Microseconds): boolean {
    const until = us(end + interFrameSpace + exchange);
    if (!this.radio.free(end, until)) return false;
    this.radio.exchangeUntil = until;
    return true;
  }

  #tell(report: Report): void {
    const key = reportKey(report.type, report.from);
    if (this.#scan?.filterDuplicates === true && this.#seen.has(key)) return;
    this.#seen.add(key);
    this.#report(report);
  }
}

function reportKey(type: number, from: DeviceAddress): string {
  return `${type === reportType.response ? 'response' : 'advertisement'} ${deviceKey(from)}`;
}
