import { equalBytes, toHex, type Bytes } from '../../base/bytes.ts';
import { showTime } from '../../base/quantity.ts';
import { uuidFromBytes, type Uuid } from '../../base/uuid.ts';
import { adType } from '../../numbers/ad-types.ts';
import { appearanceLabel } from '../../numbers/appearances.ts';
import type { TimeRange } from '../../contract/model.ts';
import type { AdvertisingData, Table } from '../model.ts';
import type { Difference } from './change.ts';

/** How clients find the board: its name, what it advertises. */
export function compareAdvertising(old: Table, next: Table): readonly Difference[] {
  return [
    ...compareNames(old, next),
    ...compareUuidLists(old, next),
    ...compareCompanies(old, next),
    ...compareAppearances(old, next),
    ...compareIntervals(old, next),
  ];
}

function compareNames(old: Table, next: Table): readonly Difference[] {
  const differences: Difference[] = [];
  const was = old.board.name;
  const is = next.board.name;
  if (was !== is) {
    const otherBoard = was.includes(old.board.unit) && was.replace(old.board.unit, next.board.unit) === is;
    const reason = `the name was \`${was}\` and is \`${is}\``;
    differences.push(
      otherBoard
        ? {
            effect: 'keeps-working',
            kind: 'unit-changed',
            reason: `${reason}: another unit of the same kind`,
            client: 'it finds another board of the same kind',
            remedy: 'nothing need be done',
          }
        : {
            effect: 'breaks',
            kind: 'name-changed',
            reason,
            client: 'one that looks for the board by its name does not find it',
            remedy: 'keep the name, or let clients look for a service UUID',
          },
    );
  }
  const before = nameIn(old);
  const now = nameIn(next);
  if (before !== now) {
    differences.push({
      effect: now === 'nowhere' ? 'breaks' : 'keeps-working',
      kind: 'name-place-changed',
      reason: `the name stood in ${before} and stands in ${now}`,
      client:
        now === 'nowhere'
          ? 'it lists the board without a name'
          : 'it may show the board without a name when it scans passively',
      remedy: 'shorten the name, or advertise less beside it',
    });
  }
  return differences;
}

function nameIn(table: Table): string {
  const has = (data: AdvertisingData): boolean =>
    data.elements.some(({ type }) => type === adType.completeName || type === adType.shortenedName);
  if (has(table.advertising)) return 'the advertising data';
  return has(table.scanResponse) ? 'the scan response' : 'nowhere';
}

function compareUuidLists(old: Table, next: Table): readonly Difference[] {
  const was = advertisedUuids(old);
  const is = advertisedUuids(next);
  return [
    ...was
      .filter((uuid) => !is.includes(uuid))
      .map((uuid): Difference => ({
        effect: 'breaks',
        kind: 'advertised-uuid-removed',
        reason: `the UUID ${uuid} was advertised and is not any more`,
        client: 'one that looks for boards by this service does not find it',
        remedy: 'advertise the service again (`radio.advertise.services`)',
      })),
    ...is
      .filter((uuid) => !was.includes(uuid))
      .map((uuid): Difference => ({
        effect: 'keeps-working',
        kind: 'advertised-uuid-added',
        reason: `the UUID ${uuid} is advertised, which is new`,
        client: 'it finds the board as before',
        remedy: 'nothing need be done',
      })),
  ];
}

/** UUIDs in the lists of both blocks. Core Specification Supplement Part A 1.1. */
function advertisedUuids(table: Table): readonly Uuid[] {
  return [table.advertising, table.scanResponse].flatMap((data) =>
    data.elements.flatMap((element) => {
      const size = uuidSizes.get(element.type);
      if (size === undefined) return [];
      const list = data.bytes.subarray(element.offset + 2, element.offset + element.length);
      const uuids: Uuid[] = [];
      for (let at = 0; at + size <= list.length; at += size) {
        const uuid = uuidFromBytes(list.subarray(at, at + size));
        if (uuid !== undefined) uuids.push(uuid);
      }
      return uuids;
    }),
  );
}

const uuidSizes: ReadonlyMap<number, 2 | 16> = new Map([
  [adType.incompleteUuids16, 2],
  [adType.completeUuids16, 2],
  [adType.incompleteUuids128, 16],
  [adType.completeUuids128, 16],
]);

function compareCompanies(old: Table, next: Table): readonly Difference[] {
  const was = manufacturerData(old);
  const is = manufacturerData(next);
  if ((was === undefined && is === undefined) || (was !== undefined && is !== undefined && equalBytes(was, is)))
    return [];
  const show = (data: Bytes | undefined): string => (data === undefined ? 'none' : toHex(data));
  const sameCompany = was !== undefined && is !== undefined && equalBytes(was.subarray(0, 2), is.subarray(0, 2));
  const lost = was !== undefined && !sameCompany;
  return [
    {
      effect: lost ? 'breaks' : 'keeps-working',
      kind: 'manufacturer-data-changed',
      reason: `the manufacturer data were ${show(was)} and are ${show(is)}`,
      client: lost ? 'one that looks for boards by company does not find it' : 'it finds the board as before',
      remedy: lost ? 'keep the company identifier' : 'check what clients read from the data',
    },
  ];
}

function manufacturerData(table: Table): Bytes | undefined {
  for (const data of [table.advertising, table.scanResponse]) {
    const element = data.elements.find(({ type }) => type === adType.manufacturerData);
    if (element !== undefined) return data.bytes.subarray(element.offset + 2, element.offset + element.length);
  }
  return undefined;
}

function compareAppearances(old: Table, next: Table): readonly Difference[] {
  const was = old.board.appearance;
  const is = next.board.appearance;
  if (was === is) return [];
  return [
    {
      effect: 'keeps-working',
      kind: 'appearance-changed',
      reason: `the appearance was ${appearanceLabel(was)} and is ${appearanceLabel(is)}`,
      client: 'it may show another picture',
      remedy: 'nothing need be done',
    },
  ];
}

function compareIntervals(old: Table, next: Table): readonly Difference[] {
  const was = old.radio.advertise.interval;
  const is = next.radio.advertise.interval;
  if (was.min === is.min && was.max === is.max) return [];
  return [
    {
      effect: 'keeps-working',
      kind: 'advertising-interval-changed',
      reason: `the board advertised every ${showRange(was)} and advertises every ${showRange(is)}`,
      client: is.max > was.max ? 'it takes longer to find the board' : 'it finds the board sooner',
      remedy: is.max > was.max ? 'check how long clients search' : 'check what it costs in charge',
    },
  ];
}

function showRange({ min, max }: TimeRange): string {
  return min === max ? showTime(min) : `${showTime(min)} to ${showTime(max)}`;
}

/** What the contract counts on while a client is connected. */
export function compareConnections(old: Table, next: Table): readonly Difference[] {
  const was = old.radio.connection;
  const is = next.radio.connection;
  const differences: Difference[] = [];
  if (was.mtu !== is.mtu) {
    const raised = is.mtu > was.mtu;
    differences.push({
      effect: 'keeps-working',
      kind: 'mtu-changed',
      reason: `the contract counted on an MTU of ${was.mtu} and counts on ${is.mtu}`,
      client: raised ? 'one that does not ask for the new MTU gets longer values cut' : 'it gets by with less',
      remedy: raised ? 'check what MTU clients ask for' : 'nothing need be done',
    });
  }
  const parameters = [
    ['interval', showRange(was.interval), showRange(is.interval)],
    ['latency', `${was.latency}`, `${is.latency}`],
    ['supervision timeout', showTime(was.timeout), showTime(is.timeout)],
    ['PHY', was.phy, is.phy],
    ['packet length', `${was.dataLength} octets`, `${is.dataLength} octets`],
  ] as const;
  for (const [what, before, now] of parameters) {
    if (before === now) continue;
    differences.push({
      effect: 'keeps-working',
      kind: 'connection-changed',
      reason: `the ${what} was ${before} and is ${now}`,
      client: 'it is asked for other connection parameters and may notice other delays',
      remedy: 'try the phones and computers that are used',
    });
  }
  return differences;
}

/** The hash over the table's structure, by which a client knows that what it remembers still holds. */
export function compareHashes(old: Table, next: Table): readonly Difference[] {
  const was = old.databaseHash.specification;
  const is = next.databaseHash.specification;
  if (equalBytes(was, is)) return [];
  return [
    {
      effect: 'must-rediscover',
      kind: 'database-hash-changed',
      reason: `the database hash was ${toHex(was)} and is ${toHex(is)}`,
      client:
        'one that remembers the table is told that it is out of date: by the hash, by Service Changed if it is bonded',
      remedy: 'let bonded phones connect once after the change, and forget the board on those that show the old table',
    },
  ];
}
