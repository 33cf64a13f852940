import { concat, noBytes, u16le, u8 } from '../base/bytes.ts';
import { bug } from '../base/bug.ts';
import { isShortUuid, uuidBytes } from '../base/uuid.ts';
import { attributeType } from '../numbers/descriptors.ts';
import type { CharacteristicEntry, Handle, Row, ServiceEntry } from './model.ts';
import { readOnly } from './permissions.ts';
import type { HandleRange } from './place-services.ts';
import type { PlannedCharacteristic, PlannedDescriptor, PlannedService } from './plan.ts';

/** A service whose handles are known, for those that include it. */
export type PlacedService = { readonly service: PlannedService; readonly range: HandleRange };

/**
 * The attributes of one service: declaration, includes, then each characteristic's declaration, value and descriptors
 * (Core Vol 3 Part G 3.1 to 3.3).
 *
 * @param placed the contract's services by id; a service may include one that comes later
 */
export function serviceRows(
  service: PlannedService,
  range: HandleRange,
  placed: ReadonlyMap<string, PlacedService>,
): { readonly rows: readonly Row[]; readonly entry: ServiceEntry } {
  const { id, label, uuid, secondary, at } = service;
  const rows: Row[] = [
    {
      handle: range.start,
      type: secondary ? attributeType.secondaryService : attributeType.primaryService,
      permissions: readOnly,
      content: { kind: 'constant', bytes: uuidBytes(uuid) },
      about: `${id}: ${secondary ? 'secondary service' : 'service'}`,
      at,
    },
  ];
  const next = (): Handle => range.start + rows.length;
  for (const included of service.includes) {
    const other = placed.get(included);
    bug(other !== undefined, `no service ${included} to include`);
    rows.push(includeRow(next(), service, other));
  }
  const characteristics: CharacteristicEntry[] = [];
  for (const characteristic of service.characteristics) {
    const declaration = next();
    rows.push(...characteristicRows(declaration, id, characteristic));
    characteristics.push(characteristicEntry(declaration, characteristic));
  }
  return { rows, entry: { id, label, uuid, secondary, start: range.start, end: range.end, characteristics } };
}

/** Only a 16-bit UUID stands in the value; of a 128-bit one a client reads the declaration. Core Vol 3 Part G 3.2. */
function includeRow(handle: Handle, { id, includesAt }: PlannedService, { service, range }: PlacedService): Row {
  const uuid = isShortUuid(service.uuid) ? uuidBytes(service.uuid) : noBytes;
  return {
    handle,
    type: attributeType.include,
    permissions: readOnly,
    content: { kind: 'constant', bytes: concat(u16le(range.start), u16le(range.end), uuid) },
    about: `${id}: includes ${service.id}`,
    at: includesAt,
  };
}

function characteristicRows(declaration: Handle, service: string, planned: PlannedCharacteristic): readonly Row[] {
  const { uuid, properties, permissions, content, descriptors, at } = planned;
  const value = declaration + 1;
  const name = `${service} / ${planned.id}`;
  return [
    {
      handle: declaration,
      type: attributeType.characteristic,
      permissions: readOnly,
      content: { kind: 'constant', bytes: concat(u8(properties), u16le(value), uuidBytes(uuid)) },
      about: `${name}: characteristic`,
      at,
    },
    { handle: value, type: uuid, permissions, content, about: `${name}: value`, at },
    ...descriptors.map((descriptor, i) => descriptorRow(value + 1 + i, value, name, descriptor, at)),
  ];
}

function descriptorRow(
  handle: Handle,
  value: Handle,
  name: string,
  { type, permissions, content, what }: PlannedDescriptor,
  at: Row['at'],
): Row {
  return {
    handle,
    type,
    permissions,
    content: content.kind === 'cccd-of-value' ? { kind: 'cccd', of: value, allowed: content.allowed } : content,
    about: `${name}: ${what}`,
    at,
  };
}

function characteristicEntry(declaration: Handle, planned: PlannedCharacteristic): CharacteristicEntry {
  const { id, label, uuid, properties, content } = planned;
  const value = declaration + 1;
  const descriptors = planned.descriptors.map(({ type }, i) => ({ handle: value + 1 + i, type }));
  return {
    id,
    label,
    uuid,
    properties,
    declaration,
    value,
    cccd: descriptors.find(({ type }) => type === attributeType.clientConfiguration)?.handle,
    descriptors,
    index: content.kind === 'value' ? content.index : undefined,
  };
}
