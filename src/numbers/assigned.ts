import { uuid16, type Uuid } from '../base/uuid.ts';

/** A 16-bit UUID that the Bluetooth SIG assigned to a service, characteristic, descriptor or declaration. */
export type Assigned = {
  readonly uuid: Uuid;
  /** The same as a number, 0x0000..0xFFFF. */
  readonly code: number;
  /** As contracts write it: `battery-level`. */
  readonly name: string;
  /** As the SIG writes it: `Battery Level`. */
  readonly label: string;
};

/** All numbers of one kind, and the ways to find one. */
export type AssignedTable = {
  /** In ascending order of the code. */
  readonly all: readonly Assigned[];
  byName(name: string): Assigned | undefined;
  byUuid(uuid: Uuid): Assigned | undefined;
};

/** Builds the look-ups over rows of code and label; the contract name is made from the label by {@link kebab}. */
export function assignedTable(rows: readonly (readonly [code: number, label: string])[]): AssignedTable {
  const all = rows.map(([code, label]): Assigned => ({ uuid: uuid16(code), code, name: kebab(label), label }));
  const names = new Map(all.map((entry) => [entry.name, entry]));
  const uuids = new Map(all.map((entry) => [entry.uuid, entry]));
  return { all, byName: (name) => names.get(name), byUuid: (uuid) => uuids.get(uuid) };
}

/** `Magnetic Flux Density - 2D` as `magnetic-flux-density-2d`: letters and digits, everything between them one hyphen. */
export function kebab(label: string): string {
  return label
    .toLowerCase()
    .replace(/₂/g, '2')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
}
