import { isShortUuid, longUuid, type Uuid } from '../../base/uuid.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import { readU16le } from '../../base/bytes.ts';
import { isHashed } from '../database-hash.ts';
import { showHandle } from '../findings.ts';
import type { Handle, ServiceEntry, Table } from '../model.ts';
import type { Difference } from './change.ts';
import type { Member } from './match.ts';

/** How a client finds a service or a characteristic, and where it stands. */

export function compareUuids(old: Uuid, next: Uuid): readonly Difference[] {
  if (old === next) return [];
  const slot = slotOf(old, next);
  return [
    {
      effect: 'breaks',
      kind: 'uuid-changed',
      reason: `its UUID was ${old} and is ${next}`,
      client: 'it looks for the old UUID and does not find it',
      remedy: slot === undefined ? `pin it with \`uuid: ${written(old)}\`` : `pin it with \`slot: ${slot}\``,
    },
  ];
}

/** The slot of `old`, when the two differ in nothing but the slot. */
function slotOf(old: Uuid, next: Uuid): number | undefined {
  if (isShortUuid(old) || isShortUuid(next)) return undefined;
  const without = (uuid: Uuid): string => longUuid(uuid).slice(0, 4) + longUuid(uuid).slice(8);
  return without(old) === without(next) ? Number.parseInt(longUuid(old).slice(4, 8), 16) : undefined;
}

function written(uuid: Uuid): string {
  return isShortUuid(uuid) ? `0x${uuid}` : uuid;
}

/** Handles of a service that is in both tables: its own, and those of the members that are in it in both. */
export function compareHandles(
  old: ServiceEntry,
  next: ServiceEntry,
  members: readonly { readonly old: Member; readonly new: Member }[],
): readonly Difference[] {
  const moved = members.filter(
    (pair) => pair.old.service === old && pair.new.service === next && handlesOf(pair.old) !== handlesOf(pair.new),
  );
  if (old.start === next.start && moved.length === 0) return [];
  const reason =
    old.start === next.start
      ? `the handles of ${moved.map((pair) => `\`${pair.new.entry.id}\` (${span(pair)})`).join(', ')} moved`
      : `its handles were ${range(old)} and are ${range(next)}`;
  const remedy =
    old.start === next.start
      ? 'add new characteristics and descriptors at the end of the service'
      : `pin the service with \`handles: { from: ${showHandle(old.start)} }\`, and add new services at the end`;
  return [
    {
      effect: 'must-rediscover',
      kind: 'handles-moved',
      reason,
      client: 'one that remembers handles from last time reads and writes the wrong attributes',
      remedy,
    },
  ];
}

/** Descriptors that do not enter the hash, such as the valid range, come and go unnoticed at the end of a table. */
function handlesOf({ entry }: Member): string {
  const hashed = entry.descriptors.filter(({ type }) => isHashed(type));
  return [entry.declaration, entry.value, ...hashed.map(({ handle, type }) => `${handle} ${type}`)].join();
}

function span(pair: { readonly old: Member; readonly new: Member }): string {
  const was = pair.old.entry.value;
  const is = pair.new.entry.value;
  return was === is
    ? `value still ${showHandle(was)}, descriptors moved`
    : `value ${showHandle(was)} to ${showHandle(is)}`;
}

function range({ start, end }: ServiceEntry): string {
  return `${showHandle(start)} to ${showHandle(end)}`;
}

/** Primary or secondary, and what is included. */
export function compareKinds(old: Table, next: Table, was: ServiceEntry, is: ServiceEntry): readonly Difference[] {
  const differences: Difference[] = [];
  if (was.secondary !== is.secondary) {
    differences.push({
      effect: is.secondary ? 'breaks' : 'must-rediscover',
      kind: 'service-kind-changed',
      reason: is.secondary ? 'it was primary and is secondary' : 'it was secondary and is primary',
      client: is.secondary
        ? 'it does not find the service among the primary ones'
        : 'it finds one more primary service',
      remedy: is.secondary ? 'leave `secondary` out' : 'nothing need be done',
    });
  }
  const before = includedIds(old, was);
  const now = includedIds(next, is);
  if (before.join() !== now.join()) {
    const show = (ids: readonly string[]): string => (ids.length === 0 ? 'nothing' : ids.join(', '));
    const lost = before.filter((id) => !now.includes(id));
    differences.push({
      effect: lost.length > 0 ? 'breaks' : 'must-rediscover',
      kind: 'includes-changed',
      reason: `it included ${show(before)} and includes ${show(now)}`,
      client:
        lost.length > 0
          ? `it does not find ${show(lost)} by way of this service`
          : 'it does not know what is included now',
      remedy:
        lost.length > 0 ? `keep ${lost.map((id) => `\`${id}\``).join(', ')} in \`includes\`` : 'nothing need be done',
    });
  }
  return differences;
}

/** Ids of the services that a service's include declarations point to, in their order. Core Vol 3 Part G 3.2. */
function includedIds(table: Table, service: ServiceEntry): readonly string[] {
  const byStart = new Map<Handle, string>(table.services.map(({ start, id }) => [start, id]));
  return table.rows.flatMap(({ handle, type, content }) => {
    if (handle < service.start || handle > service.end || type !== attributeType.include) return [];
    const start = content.kind === 'constant' ? readU16le(content.bytes, 0) : undefined;
    const id = start === undefined ? undefined : byStart.get(start);
    return id === undefined ? [] : [id];
  });
}
