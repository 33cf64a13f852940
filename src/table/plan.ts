import type { SourceRange } from '../base/text-range.ts';
import type { Uuid } from '../base/uuid.ts';
import type { Content, Permissions } from './model.ts';

/**
 * A service before it has handles: everything about its attributes but where they stand. GAP, GATT and the contract's own
 * services are planned alike, so that one piece of code makes rows of them.
 */
export type PlannedService = {
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  readonly secondary: boolean;
  /** Ids of services of the contract. */
  readonly includes: readonly string[];
  /** The declaration's handle if the contract pins it. */
  readonly from: number | undefined;
  /** Handles to keep free behind the last attribute. */
  readonly reserve: number;
  readonly characteristics: readonly PlannedCharacteristic[];
  /** GAP or GATT: in every table, written by nobody. */
  readonly generic: boolean;
  readonly at: SourceRange;
  readonly includesAt: SourceRange;
  readonly handlesAt: SourceRange;
};

export type PlannedCharacteristic = {
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  /** Property bits, Core Vol 3 Part G 3.3.1.1. */
  readonly properties: number;
  readonly permissions: Permissions;
  readonly content: Content;
  /** In the order of their handles. */
  readonly descriptors: readonly PlannedDescriptor[];
  readonly at: SourceRange;
};

export type PlannedDescriptor = {
  readonly type: Uuid;
  readonly permissions: Permissions;
  readonly content: Content | { readonly kind: 'cccd-of-value'; readonly allowed: number };
  /** What it is, for people: `user description`. */
  readonly what: string;
};

/** Attributes a service takes: its declaration, its includes, and for each characteristic declaration, value, descriptors. */
export function attributeCount(service: PlannedService): number {
  return service.characteristics.reduce(
    (sum, characteristic) => sum + 2 + characteristic.descriptors.length,
    1 + service.includes.length,
  );
}
