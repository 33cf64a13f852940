import { isPublished } from '../../contract/rules/access.ts';
import { radio } from '../../contract/rules/sample.ts';
import { defaultMtu, notificationRoom } from './limits.ts';
import { lengthPlace, valueRule } from './table-rule.ts';

const remark = (length: number): string => `
id: remark
label: Remark
type: utf8
length: [0, ${length}]
access: [read, notify]
notify: { on: change, at-most: 2 Hz }`;

export const notificationCutAtDefault = valueRule<{ name: string; length: number }>(
  {
    code: 'notification-cut-at-default',
    severity: 'note',
    title: 'Value that is cut until the MTU is raised',
    why: 'Every connection begins with an MTU of 23. A client that does not ask for more, or subscribes before it has, gets the first 20 octets.',
    source: 'Core Vol 3 Part F 3.4.7.1 and Part G 5.2.1',
    bad: radio('connection: { mtu: 185 }', remark(40)),
    good: radio('connection: { mtu: 185 }', remark(20)),
    message: ({ name, length }) =>
      `\`${name}\` is up to ${length} octets, and a client that does not raise the MTU of 23 gets 20 of them`,
    hint: () => 'shorten it to 20 octets, or see to it that every client exchanges the MTU before it subscribes',
  },
  ({ value, characteristic }, report, { contract }) => {
    const { mtu } = contract.radio.connection;
    if (!isPublished(characteristic) || value.maxLength > notificationRoom(mtu)) return;
    if (value.maxLength <= notificationRoom(defaultMtu)) return;
    report(lengthPlace(characteristic), {
      name: value.id,
      length: value.maxLength,
    });
  },
);
