import { placeOf, type Contract, type Where } from '../model.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Uuid } from '../../base/uuid.ts';

/** What services and characteristics have in common. */
export type Holder = {
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  readonly where: Where;
};

/** Services and characteristics, in the order of the text; those of `board:` are left out. */
export function uuidHolders(contract: Contract): readonly (Holder & { readonly kind: 'service' | 'characteristic' })[] {
  return contract.services
    .filter(({ origin }) => origin !== 'board-information')
    .flatMap((service) => [
      { kind: 'service' as const, ...holder(service) },
      ...service.characteristics.map((each) => ({ kind: 'characteristic' as const, ...holder(each) })),
    ]);
}

function holder({ id, label, uuid, where }: Holder): Holder {
  return { id, label, uuid, where };
}

/** The place of the label, or of the id that it was made from. */
export function labelPlace(where: Where): SourceRange {
  return placeOf(where, where.keys.has('label') ? 'label' : 'id');
}

/** The place of whatever gave the UUID. */
export function uuidPlace(where: Where): SourceRange {
  const key = ['uuid', 'slot', 'adopted', 'id'].find((word) => where.keys.has(word));
  return placeOf(where, key ?? 'id');
}
