import { isShortUuid } from '../../base/uuid.ts';
import { labelPlace, type Holder } from './holders.ts';
import { eachRepeat } from './repeats.ts';
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

function repeats(holders: readonly Holder[], report: Report<Args>): void {
  const key = ({ label }: Holder): string | undefined => (label.trim() === '' ? undefined : label.trim().toLowerCase());
  eachRepeat(holders, key, ({ id, label, uuid, where }, first) => {
    // Two instances of one adopted UUID are `instance-without-label`.
    if (first.uuid === uuid && isShortUuid(uuid)) return;
    const related = [{ message: `\`${first.id}\` has it first`, at: labelPlace(first.where) }];
    report(labelPlace(where), { name: id, other: first.id, label }, { related });
  });
}
