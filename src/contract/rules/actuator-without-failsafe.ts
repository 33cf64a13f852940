import { placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { setKeys } from './edits.ts';
import { restText } from './rest.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const actuatorWithoutFailsafe = characteristicRule<{ name: string; loss: string }>(
  {
    code: 'actuator-without-failsafe',
    severity: 'warning',
    title: 'Actuator that runs on after the link is lost',
    why: 'The phone leaves the room and the motor goes on as it was last told, with nobody left to stop it.',
    source: 'common practice',
    bad: characteristics(`
id: heater
label: Heater power
type: uint8
unit: percentage
range: [0, 100]
access: [read, write]
actuator: true
needs: encrypted`),
    good: characteristics(`
id: heater
label: Heater power
type: uint8
unit: percentage
range: [0, 100]
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 0, within: 1 s }`),
    message: ({ name }) => `nothing says what becomes of actuator \`${name}\` when the link is lost`,
    hint: ({ loss }) => `add \`on-link-loss: ${loss}\`, or \`on-link-loss: keep\` if it must go on`,
  },
  (characteristic, report, { text }) => {
    const { actuator, needs, onLinkLoss, where, id, type } = characteristic;
    if (!actuator || !isWritable(characteristic)) return;
    // With an open link as well it is `actuator-unguarded`.
    if (onLinkLoss.kind !== 'unsaid' || needs.write === 'open') return;
    const rest = restText(type);
    const loss = `{ value: ${rest ?? 'SAFE VALUE'}, within: 1 s }`;
    const keys = { 'on-link-loss': loss };
    const fixes = rest === undefined ? [] : [setKeys(text, where, keys, 'Go to rest on link loss')];
    report(placeOf(where, 'id'), { name: id, loss }, { fixes });
  },
);
