import { may } from '../../contract/rules/access.ts';
import { radio } from '../../contract/rules/sample.ts';
import { longestValue } from '../descriptors.ts';
import { readRoom } from './limits.ts';
import { lengthPlace, valueRule } from './table-rule.ts';

const help = (length: number): string => `
id: manual
label: Manual
type: utf8
length: [0, ${length}]
access: [read]`;

export const longRead = valueRule<{ name: string; length: number; mtu: number; room: number; use: number }>(
  {
    code: 'long-read',
    severity: 'note',
    title: 'Value that takes a long read',
    why: 'What does not fit one response is fetched in pieces with Read Blob. It takes more time, some clients show only the first piece, and the value may change between the pieces.',
    source: 'Core Vol 3 Part F 3.4.4.5 and Part G 4.8.3',
    bad: radio('connection: { mtu: 64 }', help(200)),
    good: radio('connection: { mtu: 64 }', help(60)),
    message: ({ name, length, mtu, room }) =>
      `\`${name}\` is up to ${length} octets, but one read brings at most ${room} at the MTU of ${mtu}`,
    hint: ({ use }) => `set \`radio.connection.mtu\` to ${use} or more if clients can, or shorten the value`,
  },
  ({ value, characteristic }, report, { contract }) => {
    const { mtu } = contract.radio.connection;
    const room = readRoom(mtu);
    if (!may(characteristic, 'read') || value.maxLength <= room || value.maxLength > longestValue) return;
    report(lengthPlace(characteristic), {
      name: value.id,
      length: value.maxLength,
      mtu,
      room,
      use: Math.min(517, value.maxLength + 2),
    });
  },
);
