import { contractRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { useOf } from './uuid-kind.ts';
import { uuidHolders, uuidPlace } from './holders.ts';

export const uuidOfOtherKind = contractRule<{ name: string; uuid: string; kind: string; assigned: string }>(
  {
    code: 'uuid-of-other-kind',
    severity: 'error',
    title: 'UUID assigned to another kind of thing',
    why: 'A client that looks for a service under a number that means a characteristic finds nothing it can use.',
    source: 'Bluetooth SIG Assigned Numbers section 3, snapshot 2026-07',
    bad: characteristics(`
id: charge
label: Charge
uuid: 0x180F
type: uint8
unit: percentage
access: [read]`),
    good: characteristics(`
id: charge
label: Charge
adopted: battery-level
access: [read]`),
    message: ({ name, uuid, kind, assigned }) =>
      `0x${uuid} is assigned to the ${assigned}, but \`${name}\` is a ${kind}`,
    hint: ({ kind }) => `write the UUID of a ${kind}, or delete \`uuid\` to take the next slot of \`uuid-base\``,
  },
  (contract, report) => {
    for (const { kind, id, uuid, where } of uuidHolders(contract)) {
      const use = useOf(uuid);
      if (use === undefined || use.kind === 'unassigned' || use.kind === 'member' || use.kind === kind) continue;
      report(uuidPlace(where), { name: id, uuid, kind, assigned: `${use.kind} ${use.label}` });
    }
  },
);
