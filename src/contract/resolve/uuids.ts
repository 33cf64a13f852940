import type { SourceRange } from '../../base/text-range.ts';
import { uuidInSlot, type Uuid } from '../../base/uuid.ts';
import type { ServiceDraft } from '../entities/service.ts';
import type { Where } from '../model.ts';
import type { Report } from '../shapes/shape.ts';
import { noUuid, saidTwice, slotTaken } from './findings.ts';

/** The keys of a service or characteristic that say its UUID. */
export type UuidKeys = {
  readonly uuid: Uuid | undefined;
  readonly slot: number | undefined;
  /** The UUID of an adopted characteristic. */
  readonly adopted: Uuid | undefined;
};

type Holder = { readonly called: string; readonly keys: UuidKeys; readonly where: Where };

const sayingKeys = ['uuid', 'slot', 'adopted'] as const;

/**
 * Gives UUIDs. What has neither `uuid` nor `slot` nor `adopted` takes the next slot of the base, from 1 on, past the pinned
 * ones, in the order of calls.
 */
export class UuidGiver {
  readonly #base: Uuid | undefined;
  /** True when the contract gives a base, be it one that was refused. */
  readonly #hasBase: boolean;
  readonly #pinned: ReadonlySet<number | undefined>;
  readonly #report: Report;
  #last = 0;
  #told = false;

  /** @param pinned all slots that the contract pins */
  constructor(base: Uuid | undefined, hasBase: boolean, pinned: ReadonlySet<number | undefined>, report: Report) {
    this.#base = base;
    this.#hasBase = hasBase;
    this.#pinned = pinned;
    this.#report = report;
  }

  /** `undefined` when none can be given; reported. */
  give(holder: Holder): Uuid | undefined {
    const { keys, where } = holder;
    const given = sayingKeys.filter((key) => where.keys.has(key));
    const [first, second] = given;
    if (second !== undefined) {
      const at = where.keys.get(second)?.key ?? where.self;
      this.#report(saidTwice.at(at, { what: 'the UUID', keys: given }));
      return undefined;
    }
    if (first === 'uuid' || first === 'adopted') return keys[first];
    if (first === undefined) return this.#inSlot(this.#next(), holder, where.keys.get('id')?.value);
    return keys.slot === undefined ? undefined : this.#inSlot(keys.slot, holder, where.keys.get('slot')?.value);
  }

  #next(): number {
    do this.#last += 1;
    while (this.#pinned.has(this.#last));
    return this.#last;
  }

  #inSlot(slot: number, holder: Holder, at: SourceRange | undefined): Uuid | undefined {
    if (this.#base !== undefined) return uuidInSlot(this.#base, slot);
    if (!this.#hasBase && !this.#told) {
      // One base mends it for all.
      this.#told = true;
      const key = holder.where.keys.has('slot') ? 'a `slot`' : 'no `uuid`';
      this.#report(noUuid.at(at ?? holder.where.self, { called: holder.called, key }));
    }
    return undefined;
  }
}

/** Reports characteristics that pin the slot of a service and so its UUID. Two alike in one service are a lint. */
export function checkPinned(services: readonly ServiceDraft[], report: Report): void {
  const pins = new Map<number, SourceRange>();
  for (const { values, where } of services) {
    if (values.slot !== undefined && !pins.has(values.slot)) pins.set(values.slot, slotPlace(where));
  }
  for (const { values, where } of services.flatMap((service) => service.values.characteristics ?? [])) {
    const holder = values.slot === undefined ? undefined : pins.get(values.slot);
    if (values.slot === undefined || holder === undefined) continue;
    const related = [{ message: 'the service pins it here', at: holder }];
    report(slotTaken.at(slotPlace(where), { slot: values.slot }, { related }));
  }
}

function slotPlace(where: Where): SourceRange {
  return where.keys.get('slot')?.value ?? where.self;
}
