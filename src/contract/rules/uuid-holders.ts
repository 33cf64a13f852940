import { placeOf, type Contract, type Where } from '../model.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Uuid } from '../../base/uuid.ts';

/** Something of the contract's own that has a UUID. */
export type UuidHolder = {
  readonly kind: 'service' | 'characteristic';
  readonly id: string;
  readonly uuid: Uuid;
  readonly where: Where;
};

/** Services and characteristics, in the order of the text; those of `board:` are left out. */
export function uuidHolders(contract: Contract): readonly UuidHolder[] {
  return contract.services
    .filter(({ origin }) => origin !== 'board-information')
    .flatMap((service) => [
      { kind: 'service' as const, id: service.id, uuid: service.uuid, where: service.where },
      ...service.characteristics.map(({ id, uuid, where }) => ({ kind: 'characteristic' as const, id, uuid, where })),
    ]);
}

/** The place of whatever gave the UUID. */
export function uuidPlace(where: Where): SourceRange {
  const key = ['uuid', 'slot', 'adopted', 'id'].find((word) => where.keys.has(word));
  return placeOf(where, key ?? 'id');
}
