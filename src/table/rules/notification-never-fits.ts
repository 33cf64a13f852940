import { isPublished } from '../../contract/rules/access.ts';
import { setKey } from '../../contract/rules/edits.ts';
import { givenAt } from '../../contract/rules/rule.ts';
import { radio } from '../../contract/rules/sample.ts';
import { longestValue } from '../descriptors.ts';
import { mtuFor, notificationRoom } from './limits.ts';
import { lengthPlace, valueRule } from './table-rule.ts';

const trace = `
id: trace
label: Trace
type: { array: sint16, count: 16 }
access: [read, notify]
notify: { on: every 100 ms }`;

export const notificationNeverFits = valueRule<{
  name: string;
  length: number;
  mtu: number;
  room: number;
  use: number;
}>(
  {
    code: 'notification-never-fits',
    severity: 'error',
    title: 'Value that no notification can hold',
    why: 'A notification is one PDU and is never continued: what is beyond MTU - 3 octets is cut off, and a struct or array without its end is another value.',
    source: 'Core Vol 3 Part F 3.4.7.1',
    bad: radio('connection: { interval: 30 ms }', trace),
    good: radio('connection: { interval: 30 ms, mtu: 64 }', trace),
    message: ({ name, length, mtu, room }) =>
      `\`${name}\` is at least ${length} octets, but a notification carries at most ${room} at the MTU of ${mtu}`,
    hint: ({ use }) => `set \`radio.connection.mtu\` to ${use} or more, or split the value`,
  },
  ({ value, characteristic }, report, { contract }, text) => {
    const { mtu, where } = contract.radio.connection;
    const room = notificationRoom(mtu);
    if (!isPublished(characteristic) || value.minLength <= room || value.maxLength > longestValue) return;
    const use = mtuFor(value.maxLength);
    report(
      lengthPlace(characteristic),
      { name: value.id, length: value.minLength, mtu, room, use },
      {
        related: [givenAt(where, 'mtu', 'the MTU is here')],
        fixes: [setKey(text, where, 'mtu', `${use}`, `Count on an MTU of ${use}`)],
      },
    );
  },
);
