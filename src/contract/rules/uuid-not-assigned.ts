import { isGiven } from '../model.ts';
import { removeKey } from './edits.ts';
import { contractRule } from './rule.ts';
import { services } from './sample.ts';
import { useOf } from './uuid-kind.ts';
import { uuidHolders, uuidPlace } from './holders.ts';

const one = `
characteristics:
  - id: count
    type: uint32
    access: [read]`;

export const uuidNotAssigned = contractRule<{ name: string; uuid: string; kind: string }>(
  {
    code: 'uuid-not-assigned',
    severity: 'error',
    title: '16-bit UUID that is not assigned',
    why: 'All 16-bit UUIDs belong to the Bluetooth SIG, which may give this number to something else tomorrow; clients and platforms treat such numbers specially. UUIDs of your own have 128 bits and cost nothing.',
    source: 'Core Vol 3 Part B 2.5.1; Bluetooth SIG Assigned Numbers section 3, snapshot 2026-07',
    bad: services(`id: bench\nuuid: 0xABCD${one}`),
    good: services(`id: bench${one}`),
    message: ({ name, uuid, kind }) => `0x${uuid}, the UUID of ${kind} \`${name}\`, is not an assigned 16-bit UUID`,
    hint: () => 'delete `uuid` to take the next slot of `uuid-base`, or write a 128-bit UUID of your own',
  },
  (contract, report, text) => {
    for (const { kind, id, uuid, where } of uuidHolders(contract)) {
      // Slots of the Bluetooth Base UUID are `uuid-base-of-bluetooth`.
      if (!isGiven(where, 'uuid') || useOf(uuid)?.kind !== 'unassigned') continue;
      const fixes = contract.uuidBase === undefined ? [] : [removeKey(text, where, 'uuid', 'Take the next slot')];
      report(uuidPlace(where), { name: id, uuid, kind }, { fixes });
    }
  },
);
