import { placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { setKey } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const actuatorOpen = characteristicRule<{ name: string }>(
  {
    code: 'actuator-open',
    severity: 'warning',
    title: 'Actuator that anyone can drive',
    why: 'Anyone with a phone within some tens of metres, on the other side of the wall too, can connect and set it.',
    source: 'common practice; Core Vol 3 Part C 10',
    bad: characteristics(`
id: arm
label: Arm raised
type: boolean
access: [read, write]
actuator: true
on-link-loss: { value: false }`),
    good: characteristics(`
id: arm
label: Arm raised
type: boolean
access: [read, write]
needs: { write: encrypted }
actuator: true
on-link-loss: { value: false }`),
    message: ({ name }) => `actuator \`${name}\` can be set over an open link by anyone within reach`,
    hint: () => 'add `needs: { write: encrypted }`, or waive this with what keeps strangers or harm away',
  },
  (characteristic, report, { text }) => {
    const { actuator, needs, onLinkLoss, where, id } = characteristic;
    if (!actuator || !isWritable(characteristic)) return;
    // Without a word on link loss as well it is `actuator-unguarded`.
    if (needs.write !== 'open' || onLinkLoss.kind === 'unsaid') return;
    const fix = where.keys.has('needs')
      ? undefined
      : setKey(text, where, 'needs', '{ write: encrypted }', 'Let only paired clients write it');
    report(placeOf(where, where.keys.has('access') ? 'access' : 'id'), { name: id }, { fixes: [fix] });
  },
);
