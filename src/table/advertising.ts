import { concat, u16le, u8, type Bytes } from '../base/bytes.ts';
import { isShortUuid, uuidBytes, type Uuid } from '../base/uuid.ts';
import type { Contract, Service } from '../contract/model.ts';
import { adFlag, adType } from '../numbers/ad-types.ts';
import { appearanceLabel } from '../numbers/appearances.ts';
import { decodeUtf8, encodeUtf8, truncateUtf8 } from '../values/utf8.ts';
import { AdvertisingBlock, type AdItem } from './advertising-block.ts';
import type { Table } from './model.ts';

type Blocks = { readonly advertising: AdvertisingBlock; readonly scanResponse: AdvertisingBlock };

/**
 * What the board says of itself before anybody connects, in two blocks of at most 31 octets (Core Specification Supplement
 * Part A; Core Vol 3 Part C 11). The order is the order of importance: flags, service UUIDs, a name that the contract
 * places, manufacturer data, transmit power, a name that it does not place, appearance. What does not fit into the
 * advertising data goes into the scan response, which a client asks for only when it scans actively.
 *
 * Each wish is missed at most once: in `advertising.cut` if the scan response has the rest of it, in `scanResponse.cut`
 * if something is said nowhere.
 */
export function advertise(contract: Contract): Pick<Table, 'advertising' | 'scanResponse'> {
  const blocks = { advertising: new AdvertisingBlock(), scanResponse: new AdvertisingBlock() };
  const { board, radio } = contract;
  const { name, txPower, manufacturerData } = radio.advertise;

  blocks.advertising.add({
    type: adType.flags,
    data: u8(adFlag.generalDiscoverable | adFlag.noBrEdr),
    about: 'general discoverable, no BR/EDR',
  });
  for (const kind of uuidKinds) placeUuids(blocks, kind, contract);
  if (name === 'advertising' || name === 'scan-response') placeName(blocks, board.name, name);
  if (manufacturerData !== undefined) {
    const { company, data } = manufacturerData;
    const about = `company 0x${company.toString(16).toUpperCase().padStart(4, '0')}, ${data.length} octets`;
    place(blocks, 'manufacturer data', { type: adType.manufacturerData, data: concat(u16le(company), data), about });
  }
  if (txPower !== undefined) {
    place(blocks, 'transmit power', { type: adType.txPower, data: u8(txPower), about: `${txPower} dBm` });
  }
  if (name === 'auto') placeName(blocks, board.name, 'auto');
  if (board.appearance !== 0) {
    const about = appearanceLabel(board.appearance);
    place(blocks, 'appearance', { type: adType.appearance, data: u16le(board.appearance), about });
  }
  return { advertising: blocks.advertising.finish(), scanResponse: blocks.scanResponse.finish() };
}

/** Into the advertising data, else into the scan response, else nowhere. */
function place({ advertising, scanResponse }: Blocks, what: string, item: AdItem): void {
  if (advertising.add(item)) return;
  const short = shortOf(item.data.length, advertising);
  if (scanResponse.add(item)) advertising.miss(what, `${short}; it is in the scan response`);
  else scanResponse.miss(what, `${short}, and ${left(scanResponse)} in the scan response`);
}

type UuidKind = {
  readonly size: 2 | 16;
  readonly complete: number;
  readonly incomplete: number;
  fits(uuid: Uuid): boolean;
};

const uuidKinds: readonly UuidKind[] = [
  { size: 2, complete: adType.completeUuids16, incomplete: adType.incompleteUuids16, fits: isShortUuid },
  {
    size: 16,
    complete: adType.completeUuids128,
    incomplete: adType.incompleteUuids128,
    fits: (uuid) => !isShortUuid(uuid),
  },
];

/**
 * The wished UUIDs of one size, as many as fit first in the advertising data, then in the scan response. A list is
 * complete when it has all primary services of that size; GAP and GATT are not counted (Core Specification Supplement
 * Part A 1.1).
 */
function placeUuids({ advertising, scanResponse }: Blocks, kind: UuidKind, contract: Contract): void {
  const ofSize = contract.services.filter((service) => kind.fits(service.uuid));
  const primary = ofSize.filter((service) => !service.secondary);
  const named = contract.radio.advertise.services.flatMap((id) => ofSize.find((service) => service.id === id) ?? []);
  for (const { id } of named.filter((service) => service.secondary)) {
    scanResponse.miss(`service UUID of \`${id}\``, 'a secondary service is found only through another');
  }
  const wished = named
    .filter((service) => !service.secondary)
    .filter((service, i, all) => all.findIndex(({ uuid }) => uuid === service.uuid) === i);
  const uuids = new Set(primary.map((service) => service.uuid)).size;

  const add = (block: AdvertisingBlock, services: readonly Service[]): readonly Service[] => {
    const count = Math.min(services.length, Math.max(0, Math.floor(block.room / kind.size)));
    if (count === 0) return services;
    const listed = services.slice(0, count);
    block.add({
      type: count === uuids ? kind.complete : kind.incomplete,
      data: concat(...listed.map((service) => uuidBytes(service.uuid))),
      about: listed.map((service) => service.id).join(', '),
    });
    return services.slice(count);
  };

  const room = { here: Math.max(0, advertising.room), there: Math.max(0, scanResponse.room) };
  const moved = add(advertising, wished);
  const lost = new Set(add(scanResponse, moved));
  for (const service of moved) {
    const what = `service UUID of \`${service.id}\``;
    const short = `${octets(room.here)} are left for ${wished.length} of ${octets(kind.size)}`;
    if (lost.has(service)) scanResponse.miss(what, `${short}, and ${octets(room.there)} in the scan response`);
    else advertising.miss(what, `${short}; it is in the scan response`);
  }
}

/**
 * The name, whole where it may stand and fits, else shortened to whole characters. `advertising`: in the advertising data
 * even if shortened, then whole in the scan response if it fits there.
 */
function placeName(blocks: Blocks, name: string, where: 'auto' | 'advertising' | 'scan-response'): void {
  const { advertising, scanResponse } = blocks;
  const data = encodeUtf8(name);
  if (data.length === 0) return;
  const whole: AdItem = { type: adType.completeName, data, about: `\`${name}\`` };
  const what = `name \`${name}\``;

  if (where !== 'scan-response' && advertising.add(whole)) return;
  const short = shortOf(data.length, advertising);
  if (where === 'auto' && scanResponse.add(whole)) {
    advertising.miss(what, `${short}; it is in the scan response`);
    return;
  }
  if (where === 'scan-response' && scanResponse.add(whole)) return;

  const block = {
    auto: scanResponse.room > advertising.room ? scanResponse : advertising,
    advertising,
    'scan-response': scanResponse,
  }[where];
  const lack = shortOf(data.length, block);
  const shortened = addShortened(block, data);
  if (where === 'advertising' && scanResponse.add(whole)) {
    advertising.miss(what, `${short}: ${shortened}; it is whole in the scan response`);
  } else {
    scanResponse.miss(what, `${lack}: ${shortened}`);
  }
}

/** Adds what fits of a name, and tells what that is. */
function addShortened(block: AdvertisingBlock, name: Bytes): string {
  const data = truncateUtf8(name, Math.max(0, block.room));
  const text = decodeUtf8(data);
  if (data.length === 0 || !text.ok) return 'no character of it fits';
  const about = `\`${text.text}\``;
  block.add({ type: adType.shortenedName, data, about });
  return `shortened to ${about}`;
}

/** `it needs 18 octets, 10 octets are left`, length and type octet included. */
function shortOf(data: number, block: AdvertisingBlock): string {
  return `it needs ${octets(data + 2)}, ${left(block)}`;
}

function left(block: AdvertisingBlock): string {
  const n = block.room + 2;
  return `${octets(n)} ${n === 1 ? 'is' : 'are'} left`;
}

function octets(n: number): string {
  return `${n} octet${n === 1 ? '' : 's'}`;
}
