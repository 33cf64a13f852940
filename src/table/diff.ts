import type { SourceRange } from '../base/text-range.ts';
import { worstFirst, type Change, type Difference } from './diff/change.ts';
import { compareAdvertising, compareConnections, compareHashes } from './diff/compare-boards.ts';
import { compareHandles, compareKinds, compareUuids } from './diff/compare-places.ts';
import { compareValues } from './diff/compare-values.ts';
import { matchTables, type Member, type Pair } from './diff/match.ts';
import type { ServiceEntry, Table } from './model.ts';

export type { Change } from './diff/change.ts';

/**
 * What turning one table into another does to the clients of the first, worst first. The same table twice gives nothing;
 * with an equal database hash nothing is said of discovery.
 */
export function diffTables(old: Table, next: Table): readonly Change[] {
  const { services, members, renamed } = matchTables(old, next);
  const kept = members.filter((pair) => pair.kind === 'both');
  const removed = new Set(services.flatMap((pair) => (pair.kind === 'removed' ? [pair.old] : [])));
  const added = new Set(services.flatMap((pair) => (pair.kind === 'added' ? [pair.new] : [])));

  return worstFirst([
    ...services.flatMap((pair) => compareServices(pair, old, next, kept)),
    ...members.flatMap((pair) => compareMembers(pair, renamed, { removed, added })),
    ...aboutBoard('board', compareAdvertising(old, next)),
    ...aboutBoard('connection', compareConnections(old, next), connectionPlace(old), connectionPlace(next)),
    ...aboutBoard('table', compareHashes(old, next)),
  ]);
}

function compareServices(
  pair: Pair<ServiceEntry>,
  old: Table,
  next: Table,
  kept: readonly Extract<Pair<Member>, { kind: 'both' }>[],
): readonly Change[] {
  if (pair.kind === 'removed') {
    const { id, characteristics } = pair.old;
    return [
      {
        effect: 'breaks',
        kind: 'service-removed',
        about: `service ${id}`,
        reason: `the service is gone, with its ${characteristics.length} characteristics`,
        client: 'it does not find the service',
        remedy: 'keep the service until no client uses it',
        old: rowPlace(old, pair.old.start),
        new: undefined,
      },
    ];
  }
  if (pair.kind === 'added') {
    return [
      {
        effect: 'must-rediscover',
        kind: 'service-added',
        about: `service ${pair.new.id}`,
        reason: `the service is new, with ${pair.new.characteristics.length} characteristics`,
        client: 'it works as before; one that wants the service must discover the table anew',
        remedy: 'nothing need be done',
        old: undefined,
        new: rowPlace(next, pair.new.start),
      },
    ];
  }
  const { old: was, new: is } = pair;
  const differences = [
    ...compareUuids(was.uuid, is.uuid),
    ...compareKinds(old, next, was, is),
    ...compareHandles(was, is, kept),
    ...renamedFrom(was.id, is.id),
    ...relabelled(was.label, is.label, 'people see the new label on sheets and panels'),
  ];
  return differences.map((difference) => ({
    ...difference,
    about: `service ${is.id}`,
    old: rowPlace(old, was.start),
    new: rowPlace(next, is.start),
  }));
}

function compareMembers(
  pair: Pair<Member>,
  renamed: ReadonlyMap<string, string>,
  services: { readonly removed: ReadonlySet<ServiceEntry>; readonly added: ReadonlySet<ServiceEntry> },
): readonly Change[] {
  switch (pair.kind) {
    case 'removed':
      // With its whole service gone the service says so.
      if (services.removed.has(pair.old.service)) return [];
      return [
        {
          effect: 'breaks',
          kind: 'characteristic-removed',
          about: nameOf(pair.old),
          reason: 'the characteristic is gone',
          client: 'it does not find the characteristic',
          remedy: 'keep it until no client uses it',
          old: pair.old.value?.at,
          new: undefined,
        },
      ];
    case 'added':
      if (services.added.has(pair.new.service)) return [];
      return [
        {
          effect: 'must-rediscover',
          kind: 'characteristic-added',
          about: nameOf(pair.new),
          reason: 'the characteristic is new',
          client: 'it works as before; one that wants the characteristic must discover the table anew',
          remedy: 'nothing need be done',
          old: undefined,
          new: pair.new.value?.at,
        },
      ];
    case 'both': {
      const { old: was, new: is } = pair;
      const differences = [
        ...movedService(was, is, renamed),
        ...compareUuids(was.entry.uuid, is.entry.uuid),
        ...(was.value === undefined || is.value === undefined ? [] : compareValues(was.value, is.value)),
        ...renamedFrom(was.entry.id, is.entry.id),
        ...relabelled(
          was.entry.label,
          is.entry.label,
          'it shows the new label when it reads the user description again',
        ),
      ];
      return differences.map((difference) => ({
        ...difference,
        about: nameOf(is),
        old: was.value?.at,
        new: is.value?.at,
      }));
    }
  }
}

function nameOf({ service, entry }: Member): string {
  return `${service.id} / ${entry.id}`;
}

function movedService(was: Member, is: Member, renamed: ReadonlyMap<string, string>): readonly Difference[] {
  if ((renamed.get(was.service.id) ?? was.service.id) === is.service.id) return [];
  return [
    {
      effect: 'breaks',
      kind: 'service-of-characteristic-changed',
      reason: `it was in service \`${was.service.id}\` and is in \`${is.service.id}\``,
      client: 'it looks in the old service and does not find it',
      remedy: `leave it in \`${was.service.id}\``,
    },
  ];
}

function renamedFrom(was: string, is: string): readonly Difference[] {
  if (was === is) return [];
  return [
    {
      effect: 'keeps-working',
      kind: 'id-changed',
      reason: `its id was \`${was}\` and is \`${is}\``,
      client: 'it notices nothing; the console, firmware and generated clients have another name',
      remedy: 'change the name in the sources that use what is generated',
    },
  ];
}

function relabelled(was: string, is: string, client: string): readonly Difference[] {
  if (was === is) return [];
  const reason = `its label was \`${was}\` and is \`${is}\``;
  return [{ effect: 'keeps-working', kind: 'label-changed', reason, client, remedy: 'nothing need be done' }];
}

function aboutBoard(
  about: string,
  differences: readonly Difference[],
  old?: SourceRange,
  next?: SourceRange,
): readonly Change[] {
  return differences.map((difference) => ({ ...difference, about, old, new: next }));
}

/** `undefined` when the contract leaves it all to the defaults. */
function connectionPlace({ radio }: Table): SourceRange | undefined {
  const { keys, self } = radio.connection.where;
  return keys.size === 0 ? undefined : self;
}

function rowPlace(table: Table, handle: number): SourceRange | undefined {
  return table.rows.find((row) => row.handle === handle)?.at;
}
