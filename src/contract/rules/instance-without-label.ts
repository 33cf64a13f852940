import { isShortUuid } from '../../base/uuid.ts';
import { labelPlace, type Holder } from './holders.ts';
import { eachRepeat } from './repeats.ts';
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

function twins(holders: readonly Holder[], report: Report<Args>): void {
  const key = ({ uuid, label }: Holder): string | undefined =>
    isShortUuid(uuid) ? `${uuid} ${label.trim().toLowerCase()}` : undefined;
  eachRepeat(holders, key, ({ id, label, where }, first) => {
    const related = [{ message: 'the other one is here', at: labelPlace(first.where) }];
    report(labelPlace(where), { name: id, other: first.id, label }, { related });
  });
}
