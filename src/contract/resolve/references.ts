import type { SourceRange } from '../../base/text-range.ts';
import type { ContractDraft } from '../entities/contract.ts';
import type { Service, Where } from '../model.ts';
import { entryOf, shortText, type MapNode, type ScalarNode } from '../tree.ts';
import { writeInstead } from '../shapes/fixes.ts';
import { isId } from '../shapes/scalars.ts';
import type { Report } from '../shapes/shape.ts';
import type { Context } from './context.ts';
import { duplicateId, unknownService } from './findings.ts';

/** Every id of the contract as it is written, whether what it names is sound or not: no mistake causes a second finding. */
export type Ids = {
  readonly services: ReadonlySet<string>;
};

type Named = { readonly id: string; readonly at: SourceRange };

/** Collects the ids and reports those given twice. */
export function checkIds(draft: ContractDraft, standard: readonly Service[], report: Report): Ids {
  const own = draft.values.services ?? [];
  const services = [
    ...standard.map(({ id, where }): Named => ({ id, at: where.self })),
    ...own.flatMap(({ values, where }) => named(values.id, where)),
  ];
  reportTwins(services, 'service', 'of the contract', report);
  const characteristics = [
    ...standard.flatMap((service) =>
      service.characteristics.map(({ id, where }): Named => ({ id, at: where.keys.get('id')?.value ?? where.self })),
    ),
    ...own.flatMap((service) =>
      (service.values.characteristics ?? []).flatMap(({ values, where }) => named(values.id, where)),
    ),
  ];
  reportTwins(characteristics, 'characteristic', 'of the contract', report);
  return { services: new Set(services.map(({ id }) => id)) };
}

/** Reports ids that name no service: in `includes`, and in what is advertised. */
export function checkReferences(draft: ContractDraft, ids: Ids, { report, suggest }: Context): void {
  const lists = (draft.values.services ?? []).map(({ node }) => ({ node, key: 'includes' }));
  const advertise = draft.values.radio?.values.advertise;
  if (advertise !== undefined) lists.unshift({ node: advertise.node, key: 'services' });
  const known = [...ids.services];
  const unknown = lists.flatMap(({ node, key }) => unknownIn(node, key, ids));
  for (const { item, key } of unknown) {
    const like = suggest(item.text, known);
    const fixes = writeInstead(item.at, like);
    report(
      unknownService.at(item.at, { name: `\`${key}\``, id: shortText(item.text), nearest: like, known }, { fixes }),
    );
  }
}

function unknownIn(node: MapNode, key: string, ids: Ids): readonly { item: ScalarNode; key: string }[] {
  const list = entryOf(node, key)?.value;
  const items = list?.kind === 'list' ? list.items : [];
  // What is no id at all has been reported where it was read.
  return items.flatMap((item) =>
    item.kind === 'scalar' && isId(item.text) && !ids.services.has(item.text) ? [{ item, key }] : [],
  );
}

function named(id: string | undefined, where: Where): Named[] {
  return id === undefined ? [] : [{ id, at: where.keys.get('id')?.value ?? where.self }];
}

function reportTwins(all: readonly Named[], what: string, scope: string, report: Report): void {
  const first = new Map<string, SourceRange>();
  for (const { id, at } of all) {
    const before = first.get(id);
    if (before === undefined) {
      first.set(id, at);
      continue;
    }
    const related = [{ message: `\`${id}\` is given first here`, at: before }];
    report(duplicateId.at(at, { id, what, scope }, { related }));
  }
}
