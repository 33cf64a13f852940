import { equalBytes } from '../../base/bytes.ts';
import type { CharacteristicEntry, ServiceEntry, Table, ValueDefinition } from '../model.ts';

/** The same thing in two tables, or something that only one of them has. */
export type Pair<T> =
  | { readonly kind: 'both'; readonly old: T; readonly new: T }
  | { readonly kind: 'removed'; readonly old: T }
  | { readonly kind: 'added'; readonly new: T };

/** A characteristic with what surrounds it. `value` is `undefined` for GAP's and GATT's own. */
export type Member = {
  readonly service: ServiceEntry;
  readonly entry: CharacteristicEntry;
  readonly value: ValueDefinition | undefined;
};

/**
 * What is what in two tables. Ids are names of the contract, which clients never see; still they are the best guide when
 * a contract was edited, because UUIDs of slots that are not pinned move with the order. With an equal database hash the
 * structure is the same, and things are what stands at the same handles.
 */
export type Matching = {
  /** Old order, then what is added. */
  readonly services: readonly Pair<ServiceEntry>[];
  readonly members: readonly Pair<Member>[];
  /** The id in the new table of each service that is in both, by its old id. */
  readonly renamed: ReadonlyMap<string, string>;
};

export function matchTables(old: Table, next: Table): Matching {
  const same = equalBytes(old.databaseHash.specification, next.databaseHash.specification);
  const services = match<ServiceEntry>(
    old.services,
    next.services,
    same ? [({ start }) => `${start}`] : [({ id }) => id, ({ uuid }) => uuid],
  );
  const renamed = new Map(services.flatMap((pair) => (pair.kind === 'both' ? [[pair.old.id, pair.new.id]] : [])));
  const oldMembers = members(old);
  const isOld = new Set(oldMembers);
  const serviceOf = (member: Member): string =>
    isOld.has(member) ? (renamed.get(member.service.id) ?? member.service.id) : member.service.id;
  return {
    services,
    renamed,
    members: match(
      oldMembers,
      members(next),
      same
        ? [({ entry }) => `${entry.declaration}`]
        : [({ entry }) => entry.id, (member) => `${serviceOf(member)} ${member.entry.uuid}`],
    ),
  };
}

function members(table: Table): readonly Member[] {
  return table.services.flatMap((service) =>
    service.characteristics.map((entry) => ({
      service,
      entry,
      value: entry.index === undefined ? undefined : table.values[entry.index],
    })),
  );
}

/** Pairs by the first key, then what is left by the next. Of several with one key the first are paired. */
function match<T>(old: readonly T[], next: readonly T[], keys: readonly ((item: T) => string)[]): readonly Pair<T>[] {
  const partner = new Map<T, T>();
  const taken = new Set<T>();
  for (const key of keys) {
    const waiting = new Map<string, T[]>();
    for (const item of next) {
      if (taken.has(item)) continue;
      const same = waiting.get(key(item));
      if (same === undefined) waiting.set(key(item), [item]);
      else same.push(item);
    }
    for (const item of old) {
      if (partner.has(item)) continue;
      const found = waiting.get(key(item))?.shift();
      if (found === undefined) continue;
      partner.set(item, found);
      taken.add(found);
    }
  }
  const pairs = old.map((item): Pair<T> => {
    const found = partner.get(item);
    return found === undefined ? { kind: 'removed', old: item } : { kind: 'both', old: item, new: found };
  });
  return [...pairs, ...next.filter((item) => !taken.has(item)).map((item): Pair<T> => ({ kind: 'added', new: item }))];
}
