import type { Holder } from './holders.ts';
import { eachRepeat } from './repeats.ts';
import { contractRule, type Report } from './rule.ts';
import { characteristics } from './sample.ts';
import { isShortUuid } from '../../base/uuid.ts';
import { uuidPlace } from './holders.ts';

type Args = { name: string; other: string; uuid: string; where: string };

export const uuidRepeated = contractRule<Args>(
  {
    code: 'uuid-repeated',
    severity: 'warning',
    title: 'Same UUID twice',
    why: 'A client asks by UUID and gets the first of the two, or either; only handles and labels tell them apart.',
    source: 'Core Vol 3 Part G 4.6.2; common practice',
    bad: characteristics(
      'id: left\nlabel: Left\nslot: 16\ntype: uint8\naccess: [read]',
      'id: right\nlabel: Right\nslot: 16\ntype: uint8\naccess: [read]',
    ),
    good: characteristics(
      'id: left\nlabel: Left\nslot: 16\ntype: uint8\naccess: [read]',
      'id: right\nlabel: Right\nslot: 17\ntype: uint8\naccess: [read]',
    ),
    message: ({ name, other, uuid, where }) => `\`${name}\` has the UUID ${uuid} of \`${other}\` in the same ${where}`,
    hint: ({ name }) => `give \`${name}\` a UUID or slot of its own`,
  },
  (contract, report) => {
    const own = contract.services.filter((service) => service.origin === 'own');
    repeats(own, 'contract', report);
    for (const service of contract.services) repeats(service.characteristics, 'service', report);
  },
);

/** Adopted ones may stand more than once; labels must tell them apart, which `instance-without-label` sees to. */
function repeats(holders: readonly Holder[], where: string, report: Report<Args>): void {
  const key = ({ uuid }: Holder): string | undefined => (isShortUuid(uuid) ? undefined : uuid);
  eachRepeat(holders, key, (holder, first) => {
    const args = { name: holder.id, other: first.id, uuid: holder.uuid, where };
    const related = [{ message: `\`${first.id}\` has it first`, at: uuidPlace(first.where) }];
    report(uuidPlace(holder.where), args, { related });
  });
}
