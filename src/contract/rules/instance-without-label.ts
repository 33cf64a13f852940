import type { SourceRange } from '../../base/text-range.ts';
import { isShortUuid } from '../../base/uuid.ts';
import { placeOf, type Where } from '../model.ts';
import type { Uuid } from '../../base/uuid.ts';
import { contractRule, type Report } from './rule.ts';
import { characteristics } from './sample.ts';

type Args = { name: string; other: string; label: string };

export const instanceWithoutLabel = contractRule<Args>(
  {
    code: 'instance-without-label',
    severity: 'warning',
    title: 'Two of a kind with one label',
    why: 'Two instances of an adopted service or characteristic have the same UUID; the label is all that tells a person which is which.',
    source: 'Core Vol 3 Part G 3.3.3.2; common practice',
    bad: characteristics(
      'id: inside\nlabel: Temperature\nadopted: temperature\naccess: [read]',
      'id: outside\nlabel: Temperature\nadopted: temperature\naccess: [read]',
    ),
    good: characteristics(
      'id: inside\nlabel: Inside temperature\nadopted: temperature\naccess: [read]',
      'id: outside\nlabel: Outside temperature\nadopted: temperature\naccess: [read]',
    ),
    message: ({ name, other, label }) =>
      `\`${name}\` and \`${other}\` have the same UUID and the same label \`${label}\``,
    hint: ({ name }) => `give \`${name}\` a \`label\` that says where or what it is`,
  },
  (contract, report) => {
    const shown = contract.services.filter((service) => service.origin !== 'board-information');
    twins(shown, report);
    for (const service of shown) twins(service.characteristics, report);
  },
);

function twins(
  holders: readonly { readonly id: string; readonly label: string; readonly uuid: Uuid; readonly where: Where }[],
  report: Report<Args>,
): void {
  const seen = new Map<string, { id: string; at: SourceRange }>();
  for (const { id, label, uuid, where } of holders) {
    if (!isShortUuid(uuid)) continue;
    const key = `${uuid} ${label.trim().toLowerCase()}`;
    const at = placeOf(where, where.keys.has('label') ? 'label' : 'id');
    const first = seen.get(key);
    if (first === undefined) seen.set(key, { id, at });
    else
      report(
        at,
        { name: id, other: first.id, label },
        { related: [{ message: 'the other one is here', at: first.at }] },
      );
  }
}
