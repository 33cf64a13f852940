import { placeOf } from '../model.ts';
import { isPublished, isReadable, isWeaker } from './access.ts';
import { replaceValue } from './edits.ts';
import { needsText } from './needs-text.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const subscribeWeakerThanRead = characteristicRule<{ name: string; read: string; subscribe: string }>(
  {
    code: 'subscribe-weaker-than-read',
    severity: 'warning',
    title: 'Notifications tell what reading protects',
    why: 'Whoever may not read the value subscribes to it instead and gets it all the same.',
    source: 'Core Vol 3 Part G 3.3.3.3; common practice',
    bad: characteristics(`
id: weight
label: Weight
type: uint16
unit: kilogram
access: [read, notify]
notify: { on: change, at-most: 1 Hz }
needs: { read: encrypted, subscribe: open }`),
    good: characteristics(`
id: weight
label: Weight
type: uint16
unit: kilogram
access: [read, notify]
notify: { on: change, at-most: 1 Hz }
needs: encrypted`),
    message: ({ name, read, subscribe }) =>
      `reading \`${name}\` needs a link that is \`${read}\`, but subscribing only \`${subscribe}\``,
    hint: ({ read }) => `write \`subscribe: ${read}\`, or leave it out: it is then as \`read\``,
  },
  (characteristic, report) => {
    const { needs, where, id } = characteristic;
    if (!isReadable(characteristic) || !isPublished(characteristic) || !isWeaker(needs.subscribe, needs.read)) return;
    const wanted = needsText({ ...needs, subscribe: needs.read });
    report(
      placeOf(where, 'needs'),
      { name: id, read: needs.read, subscribe: needs.subscribe },
      { fixes: [replaceValue(where, 'needs', wanted, 'Protect the subscription too')] },
    );
  },
);
