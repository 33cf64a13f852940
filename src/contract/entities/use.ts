import { listLength, repeatedEntry } from '../shapes/findings.ts';
import { looseList } from '../shapes/composite.ts';
import { adoptedName, serviceName } from '../shapes/names.ts';
import { isText } from '../shapes/scalars.ts';
import { either, map, shape, within, type Shape } from '../shapes/shape.ts';
import { shortText } from '../tree.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { AdoptedService } from '../../numbers/adopted.ts';
import type { Assigned } from '../../numbers/assigned.ts';
import { usedRecord, type UsedDraft } from './characteristic.ts';

/** One characteristic listed under an adopted service: its name alone, or a whole characteristic. */
export type UsedCharacteristic =
  | { readonly kind: 'name'; readonly name: Assigned; readonly at: SourceRange }
  | { readonly kind: 'draft'; readonly draft: UsedDraft };

/** One entry of `use`. */
export type UsedService = {
  readonly service: AdoptedService;
  /** `undefined`: the service's own selection. */
  readonly characteristics: readonly UsedCharacteristic[] | undefined;
  readonly at: SourceRange;
  readonly nameAt: SourceRange;
};

const characteristics: Shape<readonly UsedCharacteristic[]> = looseList(
  either<UsedCharacteristic, UsedCharacteristic>(
    map(adoptedName, (name, node) => ({ kind: 'name', name, at: node.at })),
    map(usedRecord, (draft) => ({ kind: 'draft', draft })),
  ),
  'a list of characteristics',
  { min: 1 },
);

const entry: Shape<UsedService> = shape<UsedService>({
  wanted: 'the name of an adopted service, or a mapping from it to characteristics',
  fits: (node) => isText(node) || node.kind === 'map',
  read(node, spot) {
    if (isText(node)) {
      const service = serviceName.decode(node, spot);
      return service === undefined ? undefined : { service, characteristics: undefined, at: node.at, nameAt: node.at };
    }
    const [first, second] = node.kind === 'map' ? node.entries : [];
    if (first === undefined || second !== undefined) {
      const count = node.kind === 'map' ? node.entries.length : 0;
      spot.report(listLength.at(second?.key.at ?? node.at, { name: spot.name, count, min: 1, max: 1 }));
      return undefined;
    }
    const service = serviceName.decode(first.key, spot);
    const listedHere = characteristics.decode(first.value, within(spot, `\`${shortText(first.key.text)}\``));
    if (service === undefined || listedHere === undefined) return undefined;
    return { service, characteristics: listedHere, at: node.at, nameAt: first.key.at };
  },
  schema: () => ({
    anyOf: [
      serviceName.schema(),
      {
        type: 'object',
        minProperties: 1,
        maxProperties: 1,
        propertyNames: serviceName.schema(),
        additionalProperties: characteristics.schema(),
      },
    ],
  }),
  records: () => characteristics.records(),
});

/** `use`: services that a standard defines. */
export const use: Shape<readonly UsedService[]> = map(
  looseList(entry, 'a list of adopted services'),
  (services, _node, spot) => {
    const seen = new Map<string, SourceRange>();
    return services.filter(({ service, nameAt }) => {
      const before = seen.get(service.name);
      seen.set(service.name, before ?? nameAt);
      if (before === undefined) return true;
      const related = [{ message: `\`${service.name}\` stands first here`, at: before }];
      spot.report(repeatedEntry.at(nameAt, { name: spot.name, entry: service.name }, { related }));
      return false;
    });
  },
);
