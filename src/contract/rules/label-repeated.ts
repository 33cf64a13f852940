import { isShortUuid, type Uuid } from '../../base/uuid.ts';
import type { SourceRange } from '../../base/text-range.ts';
import { placeOf, type Where } from '../model.ts';
import { contractRule, type Report } from './rule.ts';
import { characteristics } from './sample.ts';

type Args = { name: string; other: string; label: string };

export const labelRepeated = contractRule<Args>(
  {
    code: 'label-repeated',
    severity: 'warning',
    title: 'Same label twice',
    why: 'Panels, sheets and general clients show the label; two alike get mixed up.',
    source: 'common practice',
    bad: characteristics(
      'id: inlet\nlabel: Valve open\ntype: boolean\naccess: [read]',
      'id: outlet\nlabel: Valve open\ntype: boolean\naccess: [read]',
    ),
    good: characteristics(
      'id: inlet\nlabel: Inlet valve open\ntype: boolean\naccess: [read]',
      'id: outlet\nlabel: Outlet valve open\ntype: boolean\naccess: [read]',
    ),
    message: ({ name, other, label }) => `\`${name}\` and \`${other}\` are both labelled \`${label}\``,
    hint: ({ name }) => `give \`${name}\` a label that says which one it is`,
  },
  (contract, report) => {
    const shown = contract.services.filter((service) => service.origin !== 'board-information');
    repeats(shown, report);
    for (const service of shown) repeats(service.characteristics, report);
  },
);

function repeats(
  holders: readonly { readonly id: string; readonly label: string; readonly uuid: Uuid; readonly where: Where }[],
  report: Report<Args>,
): void {
  const seen = new Map<string, { id: string; uuid: Uuid; at: SourceRange }>();
  for (const { id, label, uuid, where } of holders) {
    const key = label.trim().toLowerCase();
    if (key === '') continue;
    const at = placeOf(where, where.keys.has('label') ? 'label' : 'id');
    const first = seen.get(key);
    if (first === undefined) seen.set(key, { id, uuid, at });
    // Two instances of one adopted UUID are `instance-without-label`.
    else if (first.uuid !== uuid || !isShortUuid(uuid)) {
      report(
        at,
        { name: id, other: first.id, label },
        { related: [{ message: `\`${first.id}\` has it first`, at: first.at }] },
      );
    }
  }
}
