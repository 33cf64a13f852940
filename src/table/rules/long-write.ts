import { may } from '../../contract/rules/access.ts';
import { radio } from '../../contract/rules/sample.ts';
import { longestValue } from '../descriptors.ts';
import { mtuFor, writeRoom } from './limits.ts';
import { lengthPlace, valueRule } from './table-rule.ts';

const text = (length: number): string => `
id: text
label: Text on the sign
type: utf8
length: [0, ${length}]
access: [write]`;

export const longWrite = valueRule<{ name: string; length: number; mtu: number; room: number; use: number }>(
  {
    code: 'long-write',
    severity: 'note',
    title: 'Value that takes a long write',
    why: 'What does not fit one request is written in prepared pieces and executed at the end. Board and client must both do it right, and not every client can.',
    source: 'Core Vol 3 Part F 3.4.6 and Part G 4.9.4',
    bad: radio('connection: { mtu: 64 }', text(100)),
    good: radio('connection: { mtu: 64 }', text(60)),
    message: ({ name, length, mtu, room }) =>
      `\`${name}\` is up to ${length} octets, but one write carries at most ${room} at the MTU of ${mtu}`,
    hint: ({ use }) => `set \`radio.connection.mtu\` to ${use} or more if clients can, or shorten the value`,
  },
  ({ value, characteristic }, report, { contract }) => {
    const { mtu } = contract.radio.connection;
    const room = writeRoom(mtu);
    if (!may(characteristic, 'write') || value.maxLength <= room || value.maxLength > longestValue) return;
    report(lengthPlace(characteristic), {
      name: value.id,
      length: value.maxLength,
      mtu,
      room,
      use: mtuFor(value.maxLength),
    });
  },
);
