import { shortUuidValue, type Uuid } from '../../base/uuid.ts';
import { characteristics } from '../../numbers/characteristics.ts';
import { declarations, descriptors } from '../../numbers/descriptors.ts';
import { services } from '../../numbers/services.ts';
import { unitByCode } from '../../numbers/units.ts';

/** What the Bluetooth SIG assigned a 16-bit UUID to. */
export type UuidUse =
  | {
      readonly kind: 'service' | 'characteristic' | 'declaration' | 'descriptor' | 'unit';
      readonly label: string;
    }
  /** 0xFC00..0xFEFF: assigned to single members, for services of their own. */
  | { readonly kind: 'member' }
  | { readonly kind: 'unassigned' };

const tables = [
  ['service', services],
  ['characteristic', characteristics],
  ['declaration', declarations],
  ['descriptor', descriptors],
] as const;

/**
 * @returns `undefined` for a 128-bit UUID, which nobody assigns
 *
 * Source: Bluetooth SIG Assigned Numbers, section 3; the range of member UUIDs is from memory.
 */
export function useOf(uuid: Uuid): UuidUse | undefined {
  const value = shortUuidValue(uuid);
  if (value === undefined) return undefined;
  for (const [kind, table] of tables) {
    const entry = table.byUuid(uuid);
    if (entry !== undefined) return { kind, label: entry.label };
  }
  const unit = unitByCode(value);
  if (unit !== undefined) return { kind: 'unit', label: unit.label };
  return value >= 0xfc00 && value <= 0xfeff ? { kind: 'member' } : { kind: 'unassigned' };
}
