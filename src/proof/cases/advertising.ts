import { equalBytes, reversed, type Bytes } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import { uuidBytes } from '../../base/uuid.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { ServiceEntry, Table } from '../../table/model.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import type { Case } from '../case.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import type { Trial } from '../trial.ts';
import { hexWords, listWords } from '../words.ts';

/** AD types, Core Specification Supplement Part A section 1. */
const adType = { uuid16: [0x02, 0x03], uuid128: [0x06, 0x07], shortName: 0x08, wholeName: 0x09 } as const;

/** A board that was left is found again at once; a slow one may need a few advertising intervals. */
const restart = us(1_000_000);

/** Can the board be found: what it advertises, and that it does so again after it was left. */
export function advertisingCases(table: Table): readonly Case[] {
  const place = placeOfRadio(table);
  const named = [table.advertising, table.scanResponse].flatMap((data) =>
    data.elements.filter(({ type }) => type === adType.shortName || type === adType.wholeName),
  );
  const drafts: readonly Draft[] = [
    {
      subject: 'board',
      kind: 'data',
      about: 'The advertising data are the octets that the contract gives.',
      place,
      requires: ['advertising'],
      run: (trial) => sameData(trial, 'advertising', table.advertising.bytes),
    },
    {
      subject: 'board',
      kind: 'scan-response',
      about: 'The scan response is the octets that the contract gives.',
      place,
      requires: ['advertising'],
      run: (trial) => sameData(trial, 'scanResponse', table.scanResponse.bytes),
    },
    ...when(named.length > 0, {
      subject: 'board',
      kind: 'name',
      about: `The board shows its name, ${table.board.name}, to whoever looks for it.`,
      place,
      requires: ['advertising'],
      run: (trial) => nameShown(trial, table.board.name),
    }),
    ...table.services
      .filter((service) => isAdvertised(table, service))
      .map((service) => ({
        subject: service.id,
        kind: 'service',
        about: `Who looks for the service ${service.label} finds the board by its UUID.`,
        place,
        requires: ['advertising'] as const,
        run: (trial: Trial) => serviceShown(trial, service),
      })),
    {
      subject: 'board',
      kind: 'again',
      about: 'After a client has said goodbye the board advertises again, with the same octets.',
      place,
      requires: ['advertising'],
      run: advertisesAgain,
    },
    {
      subject: 'board',
      kind: 'connects-again',
      about: 'After a client has said goodbye it can connect again.',
      place,
      run: connectsAgain,
    },
  ];
  return makeCases('advertising', drafts);
}

async function sameData(trial: Trial, part: 'advertising' | 'scanResponse', expected: Bytes): Promise<void> {
  const seen = await trial.link.advertisement();
  trial.claim(seen !== undefined, 'the board advertises', 'it does not');
  const octets = seen?.[part] ?? new Uint8Array(0);
  trial.observe(equalBytes(octets, expected), adWords(expected), adWords(octets));
}

async function nameShown(trial: Trial, name: string): Promise<void> {
  const seen = await trial.link.advertisement();
  const structures = [...parseAd(seen?.advertising), ...parseAd(seen?.scanResponse)];
  const whole = encodeUtf8(name);
  const found = structures.filter(({ type }) => type === adType.shortName || type === adType.wholeName);
  const right = found.some(({ type, data }) =>
    type === adType.wholeName ? equalBytes(data, whole) : equalBytes(data, whole.subarray(0, data.length)),
  );
  const expected = `the name ${name} (${hexWords(whole)}), or its beginning marked as shortened`;
  const names = found.map(({ type, data }) => `${type === adType.wholeName ? 'whole' : 'shortened'} ${hexWords(data)}`);
  trial.observe(right, expected, names.length === 0 ? 'no name' : listWords(names));
}

async function serviceShown(trial: Trial, service: ServiceEntry): Promise<void> {
  const seen = await trial.link.advertisement();
  const listed = [...parseAd(seen?.advertising), ...parseAd(seen?.scanResponse)].flatMap(listedUuids);
  const wanted = uuidBytes(service.uuid);
  const right = listed.some((uuid) => equalBytes(uuid, wanted));
  const turned = listed.some((uuid) => equalBytes(uuid, reversed(wanted)));
  const seenWords = turned
    ? `the UUID stands there with its octets in the reverse order: ${hexWords(reversed(wanted))}`
    : `the list holds ${listed.length === 0 ? 'no UUID' : listWords(listed.map(hexWords))}`;
  trial.claim(right, `the UUID ${service.uuid}, least significant octet first: ${hexWords(wanted)}`, seenWords);
}

async function advertisesAgain(trial: Trial): Promise<void> {
  const before = await trial.link.advertisement();
  trial.claim(before !== undefined, 'the board advertises', 'it does not');
  const client = await trial.connect();
  await trial.leave(client);
  await trial.pass(restart);
  const after = await trial.link.advertisement();
  trial.claim(after !== undefined, 'the board advertises again within 1 s', 'it does not');
  const octets = after?.advertising ?? new Uint8Array(0);
  const right = before !== undefined && equalBytes(before.advertising, octets);
  trial.observe(right, 'the same advertising data as before', adWords(octets));
}

async function connectsAgain(trial: Trial): Promise<void> {
  const client = await trial.connect();
  await trial.leave(client);
  await trial.pass(restart);
  const again = await trial.connect();
  trial.claim(again.isOpen, 'the second connection stands', 'it ended at once');
}

type AdStructure = { readonly type: number; readonly data: Bytes };

/** Length octet, type octet, data, one behind the other: Core Vol 3 Part C section 11. Stops where one does not fit. */
function parseAd(bytes: Bytes | undefined): readonly AdStructure[] {
  const structures: AdStructure[] = [];
  for (let at = 0; bytes !== undefined && at < bytes.length;) {
    const length = bytes[at] ?? 0;
    const type = bytes[at + 1];
    if (length === 0 || type === undefined || at + 1 + length > bytes.length) break;
    structures.push({ type, data: bytes.subarray(at + 2, at + 1 + length) });
    at += 1 + length;
  }
  return structures;
}

function listedUuids({ type, data }: AdStructure): readonly Bytes[] {
  const length = adType.uuid16.some((known) => known === type)
    ? 2
    : adType.uuid128.some((known) => known === type)
      ? 16
      : 0;
  if (length === 0) return [];
  return Array.from({ length: Math.floor(data.length / length) }, (_, i) =>
    data.subarray(i * length, (i + 1) * length),
  );
}

function isAdvertised(table: Table, service: ServiceEntry): boolean {
  if (!table.radio.advertise.services.includes(service.id)) return false;
  const wanted = uuidBytes(service.uuid);
  return [table.advertising, table.scanResponse].some((data) =>
    parseAd(data.bytes)
      .flatMap(listedUuids)
      .some((uuid) => equalBytes(uuid, wanted)),
  );
}

function adWords(bytes: Bytes): string {
  return `${bytes.length} octets: ${hexWords(bytes)}`;
}

function placeOfRadio(table: Table): SourceRange {
  return table.radio.advertise.where.self;
}
