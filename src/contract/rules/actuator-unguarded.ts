import { placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { setKeys } from './edits.ts';
import { restText } from './rest.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const actuatorUnguarded = characteristicRule<{ name: string; loss: string }>(
  {
    code: 'actuator-unguarded',
    severity: 'warning',
    title: 'Actuator that anyone can start and nothing stops',
    why: 'Any phone within reach may set it, and when that phone leaves it goes on as it was. A radio link is no safety function, but this much it can do.',
    source: 'common practice',
    bad: characteristics(`
id: winch
label: Winch on
type: boolean
access: [read, write]
actuator: true`),
    good: characteristics(`
id: winch
label: Winch on
type: boolean
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: false, within: 1 s }`),
    message: ({ name }) =>
      `actuator \`${name}\` can be set over an open link, and nothing says what becomes of it when the link is lost`,
    hint: ({ loss }) => `add \`on-link-loss: ${loss}\` and \`needs: { write: encrypted }\``,
  },
  (characteristic, report, { text }) => {
    const { actuator, needs, onLinkLoss, where, id, type } = characteristic;
    if (!actuator || !isWritable(characteristic)) return;
    if (needs.write !== 'open' || onLinkLoss.kind !== 'unsaid') return;
    const rest = restText(type);
    const loss = `{ value: ${rest ?? 'SAFE VALUE'}, within: 1 s }`;
    const keys = { 'on-link-loss': loss, ...(where.keys.has('needs') ? {} : { needs: '{ write: encrypted }' }) };
    const fixes =
      rest === undefined ? [] : [setKeys(text, where, keys, 'Stop on link loss, and let only paired clients write it')];
    report(placeOf(where, 'id'), { name: id, loss }, { fixes });
  },
);
