import { placeOf } from '../model.ts';
import { accessList, isPublished, isReadable } from './access.ts';
import { replaceValue } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const notifyUnreadable = characteristicRule<{ name: string; access: string }>(
  {
    code: 'notify-unreadable',
    severity: 'warning',
    title: 'Sent on change, but cannot be read',
    why: 'A client that has just subscribed knows nothing until the value changes: the screen stays empty or shows what was true an hour ago.',
    source: 'common practice',
    bad: characteristics(`
id: door
label: Door open
type: boolean
access: [notify]
notify: { on: change, at-most: 10 Hz }`),
    good: characteristics(`
id: door
label: Door open
type: boolean
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`),
    message: ({ name }) =>
      `\`${name}\` is sent only when it changes and cannot be read, so a new client has no first value`,
    hint: ({ access }) =>
      `write \`access: ${access}\`; for an event that is over when it is sent, waive this with that reason`,
  },
  (characteristic, report) => {
    const { access, where, id, notify } = characteristic;
    if (!isPublished(characteristic) || isReadable(characteristic) || notify?.on.kind !== 'change') return;
    const wanted = accessList(['read', ...access]);
    report(
      placeOf(where, 'access'),
      { name: id, access: wanted },
      { fixes: [replaceValue(where, 'access', wanted, 'Let it be read too')] },
    );
  },
);
