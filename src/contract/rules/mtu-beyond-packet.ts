import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

/** The longest link-layer payload, 251 octets, less the four of the L2CAP header. */
const inOnePacket = 247;

export const mtuBeyondPacket = contractRule<{ mtu: number }>(
  {
    code: 'mtu-beyond-packet',
    severity: 'note',
    title: 'MTU that no packet holds',
    why: 'A link-layer packet carries at most 251 octets, four of which are the L2CAP header. A full PDU of a larger MTU goes in two packets, the second often nearly empty.',
    source: 'Core Vol 6 Part B 2.4; Vol 3 Part A 3.1',
    bad: radio('connection: { mtu: 256, data-length: 251 }'),
    good: radio('connection: { mtu: 247, data-length: 251 }'),
    message: ({ mtu }) => `the MTU is ${mtu}, but a link-layer packet holds a PDU of at most ${inOnePacket} octets`,
    hint: () => 'write `mtu: 247`, unless longer values must go in one PDU',
  },
  (contract, report) => {
    const { mtu, where } = contract.radio.connection;
    if (mtu <= inOnePacket) return;
    report(placeOf(where, 'mtu'), { mtu }, { fixes: [replaceValue(where, 'mtu', `${inOnePacket}`, 'Make it 247')] });
  },
);
