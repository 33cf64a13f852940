import { isPublished } from '../../contract/rules/access.ts';
import { setKey } from '../../contract/rules/edits.ts';
import { givenAt } from '../../contract/rules/rule.ts';
import { radio } from '../../contract/rules/sample.ts';
import { longestValue } from '../descriptors.ts';
import { mtuFor, notificationRoom } from './limits.ts';
import { lengthPlace, valueRule } from './table-rule.ts';

const log = `
id: log
label: Log line
type: utf8
length: [0, 60]
access: [read, notify]
notify: { on: change, at-most: 2 Hz }`;

export const notificationCut = valueRule<{ name: string; length: number; mtu: number; room: number; use: number }>(
  {
    code: 'notification-cut',
    severity: 'warning',
    title: 'Value that a notification may cut',
    why: 'A notification is one PDU and is never continued: longer texts lose their end without a word, and a client must read the rest to know.',
    source: 'Core Vol 3 Part F 3.4.7.1',
    bad: radio('connection: { interval: 30 ms }', log),
    good: radio('connection: { interval: 30 ms, mtu: 64 }', log),
    message: ({ name, length, mtu, room }) =>
      `\`${name}\` is up to ${length} octets, but a notification carries at most ${room} at the MTU of ${mtu}`,
    hint: ({ use }) => `set \`radio.connection.mtu\` to ${use} or more, or shorten the value`,
  },
  ({ value, characteristic }, report, { contract }, text) => {
    const { mtu, where } = contract.radio.connection;
    const room = notificationRoom(mtu);
    // What never fits is `notification-never-fits`.
    if (!isPublished(characteristic) || value.minLength > room) return;
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
