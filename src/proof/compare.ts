import { equalBytes, toHex, type Bytes } from '../base/bytes.ts';
import { sortFindings, type Finding } from '../base/finding.ts';
import { uuid16, type Uuid } from '../base/uuid.ts';
import { attributeType, descriptors } from '../numbers/descriptors.ts';
import { property, propertyWords } from '../numbers/properties.ts';
import type { RemoteCharacteristic, RemoteService } from '../att/link.ts';
import type { CharacteristicEntry, ServiceEntry, Table } from '../table/model.ts';
import { formatMeaning } from '../table/row-meaning.ts';
import {
  characteristicBeyond,
  characteristicLacking,
  descriptorLacking,
  formatDiffers,
  propertiesDiffer,
  serviceBeyond,
  serviceLacking,
} from './compare-findings.ts';

/** What was discovered on a board. */
export type Discovered = {
  readonly services: readonly RemoteService[];
  /** What was read of a presentation format; characteristics without one, or where none was read, are absent. */
  readonly formats: ReadonlyMap<RemoteCharacteristic, Bytes>;
  /**
   * UUIDs of services, characteristics and descriptors that the link may keep from its client, so that their absence
   * says nothing. Generic Access and Generic Attribute are always among them: operating systems keep them to themselves.
   */
  readonly hidden: ReadonlySet<Uuid>;
};

const kept: ReadonlySet<Uuid> = new Set([uuid16(0x1800), uuid16(0x1801)]);

/**
 * Compares what a board has with what its contract says: findings at the contract's words, none when they agree. Where
 * several services or characteristics have one UUID, those at the same place are compared.
 */
export function compareWithContract(table: Table, discovered: Discovered): readonly Finding[] {
  const { hidden } = discovered;
  const wanted = table.services.filter(({ uuid, secondary }) => !secondary && !kept.has(uuid) && !hidden.has(uuid));
  const found = discovered.services.filter(({ uuid, secondary }) => !secondary && !kept.has(uuid));
  const pairs = pairByUuid(wanted, found);
  return sortFindings([
    ...pairs.lacking.map((service) =>
      serviceLacking.at(placeOf(table, service.start), { service: service.id, uuid: service.uuid }),
    ),
    ...pairs.beyond.map(({ uuid }) => serviceBeyond.at({ start: 0, end: 0 }, { uuid })),
    ...pairs.both.flatMap(([service, remote]) => compareService(table, service, remote, discovered)),
  ]);
}

function compareService(
  table: Table,
  service: ServiceEntry,
  remote: RemoteService,
  discovered: Discovered,
): readonly Finding[] {
  const wanted = service.characteristics.filter(({ uuid }) => !discovered.hidden.has(uuid));
  const pairs = pairByUuid(wanted, remote.characteristics);
  return [
    ...pairs.lacking.map(({ id, uuid, declaration }) =>
      characteristicLacking.at(placeOf(table, declaration), { id, uuid, service: service.id }),
    ),
    ...pairs.beyond.map(({ uuid }) =>
      characteristicBeyond.at(placeOf(table, service.start), { uuid, service: service.id }),
    ),
    ...pairs.both.flatMap(([entry, characteristic]) => compareCharacteristic(table, entry, characteristic, discovered)),
  ];
}

function compareCharacteristic(
  table: Table,
  entry: CharacteristicEntry,
  remote: RemoteCharacteristic,
  discovered: Discovered,
): readonly Finding[] {
  const { id } = entry;
  const at = placeOf(table, entry.value);
  const findings: Finding[] = [];
  // Broadcast and signed writes are no part of a contract, and not every link tells the extended properties.
  const told = property.read | property.write | property.writeWithoutResponse | property.notify | property.indicate;
  if ((entry.properties & told) !== (remote.properties & told)) {
    const words = (bits: number): string => propertyWords(bits & told).join(', ') || 'no access';
    findings.push(propertiesDiffer.at(at, { id, found: words(remote.properties), wanted: words(entry.properties) }));
  }
  const lacking = pairByUuid(
    entry.descriptors
      .map(({ type, handle }) => ({ uuid: type, handle }))
      .filter(({ uuid }) => !discovered.hidden.has(uuid)),
    remote.descriptors,
  ).lacking;
  for (const { uuid, handle } of lacking) {
    const descriptor = descriptors.byUuid(uuid)?.label ?? `descriptor ${uuid}`;
    findings.push(descriptorLacking.at(placeOf(table, handle), { id, descriptor }));
  }
  const format = discovered.formats.get(remote);
  const wanted = formatOf(table, entry);
  if (format !== undefined && wanted !== undefined && !equalBytes(format, wanted)) {
    findings.push(formatDiffers.at(at, { id, found: formatWords(format), wanted: formatWords(wanted) }));
  }
  return findings;
}

function formatOf(table: Table, entry: CharacteristicEntry): Bytes | undefined {
  const handle = entry.descriptors.find(({ type }) => type === attributeType.presentationFormat)?.handle;
  const row = table.rows.find((candidate) => candidate.handle === handle);
  return row?.content.kind === 'constant' ? row.content.bytes : undefined;
}

/** Seven octets, Core Vol 3 Part G 3.3.3.5; a board may answer with any number. */
function formatWords(bytes: Bytes): string {
  return bytes.length === 7 ? `\`${formatMeaning(bytes)}\`` : `${bytes.length} octets (${toHex(bytes)})`;
}

function placeOf(table: Table, handle: number): Finding['at'] {
  return table.rows.find((row) => row.handle === handle)?.at ?? { start: 0, end: 0 };
}

type HasUuid = { readonly uuid: Uuid };

/** Pairs the first of each UUID with the first of the same, the second with the second. */
function pairByUuid<A extends HasUuid, B extends HasUuid>(
  wanted: readonly A[],
  found: readonly B[],
): { readonly both: readonly (readonly [A, B])[]; readonly lacking: readonly A[]; readonly beyond: readonly B[] } {
  const left = [...found];
  const both: (readonly [A, B])[] = [];
  const lacking: A[] = [];
  for (const one of wanted) {
    const index = left.findIndex(({ uuid }) => uuid === one.uuid);
    const [other] = index < 0 ? [] : left.splice(index, 1);
    if (other === undefined) lacking.push(one);
    else both.push([one, other]);
  }
  return { both, lacking, beyond: left };
}
