import { contractRule } from './rule.ts';
import { services } from './sample.ts';
import { useOf } from './uuid-kind.ts';
import { uuidHolders, uuidPlace } from './holders.ts';

const one = `
characteristics:
  - id: count
    type: uint32
    access: [read]`;

export const uuidOfMember = contractRule<{ name: string; uuid: string }>(
  {
    code: 'uuid-of-member',
    severity: 'warning',
    title: 'UUID from the range of SIG members',
    why: 'Numbers from 0xFC00 to 0xFEFF are sold to single members of the SIG; only the owner may use one, and phones may take the board for a product of that company.',
    source: 'Bluetooth SIG Assigned Numbers, member UUIDs (range from memory)',
    bad: services(`id: bench\nuuid: 0xFE59${one}`),
    good: services(`id: bench${one}`),
    message: ({ name, uuid }) => `0x${uuid}, the UUID of \`${name}\`, belongs to a single member of the Bluetooth SIG`,
    hint: () => 'delete `uuid` to take the next slot of `uuid-base`, or waive this if the number is yours',
  },
  (contract, report) => {
    for (const { id, uuid, where } of uuidHolders(contract)) {
      if (useOf(uuid)?.kind === 'member') report(uuidPlace(where), { name: id, uuid });
    }
  },
);
