import { placeOf } from '../../contract/model.ts';
import { board } from '../../contract/rules/sample.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import { readRoom } from './limits.ts';
import { valueRule } from './table-rule.ts';

const named = (label: string): string => board('name: Bench {unit}\nunit: "01"').replace('Parts counted', label);

export const labelLongRead = valueRule<{ name: string; length: number; mtu: number; room: number }>(
  {
    code: 'label-long-read',
    severity: 'note',
    title: 'Label that takes a long read',
    why: 'General clients read the user description at discovery; one that does not fit a single response costs more round trips, and some clients show only its beginning.',
    source: 'Core Vol 3 Part G 3.3.3.2 and 4.12.2',
    bad: named('Parts counted since the last service of the machine'),
    good: named('Parts counted'),
    message: ({ name, length, mtu, room }) =>
      `the label of \`${name}\` is ${length} octets, but one read brings at most ${room} at the MTU of ${mtu}`,
    hint: ({ room }) => `shorten the label to ${room} octets of UTF-8`,
  },
  ({ value, characteristic }, report, { contract }) => {
    const { mtu } = contract.radio.connection;
    const room = readRoom(mtu);
    const { length } = encodeUtf8(value.label);
    if (length <= room || !characteristic.where.keys.has('label')) return;
    report(placeOf(characteristic.where, 'label'), { name: value.id, length, mtu, room });
  },
);
