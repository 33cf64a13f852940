import { may } from '../../contract/rules/access.ts';
import { setKey } from '../../contract/rules/edits.ts';
import { givenAt } from '../../contract/rules/rule.ts';
import { radio } from '../../contract/rules/sample.ts';
import { longestValue } from '../descriptors.ts';
import { mtuFor, writeRoom } from './limits.ts';
import { lengthPlace, valueRule } from './table-rule.ts';

const frame = `
id: frame
label: Picture frame
type: bytes
length: [1, 120]
access: [write-without-response]`;

export const writeCommandTooLong = valueRule<{ name: string; length: number; mtu: number; room: number; use: number }>(
  {
    code: 'write-command-too-long',
    severity: 'warning',
    title: 'Value too long for a write without response',
    why: 'Only a write with response can be continued in prepared writes. A longer write without response is refused by the client’s own system, or cut.',
    source: 'Core Vol 3 Part F 3.4.5.3 and Part G 4.9.1',
    bad: radio('connection: { interval: 30 ms }', frame),
    good: radio('connection: { interval: 30 ms, mtu: 185 }', frame),
    message: ({ name, length, mtu, room }) =>
      `\`${name}\` is up to ${length} octets, but a write without response carries at most ${room} at the MTU of ${mtu}`,
    hint: ({ use }) => `set \`radio.connection.mtu\` to ${use} or more, or add \`write\` to \`access\``,
  },
  ({ value, characteristic }, report, { contract }, text) => {
    const { mtu, where } = contract.radio.connection;
    const room = writeRoom(mtu);
    if (!may(characteristic, 'write-without-response') || may(characteristic, 'write')) return;
    if (value.maxLength <= room || value.maxLength > longestValue) return;
    const use = mtuFor(value.maxLength);
    report(
      lengthPlace(characteristic),
      { name: value.id, length: value.maxLength, mtu, room, use },
      {
        related: [givenAt(where, 'mtu', 'the MTU is here')],
        fixes: [setKey(text, where, 'mtu', `${use}`, `Count on an MTU of ${use}`)],
      },
    );
  },
);
