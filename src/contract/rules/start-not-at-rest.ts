import { equalBytes } from '../../base/bytes.ts';
import { showPhysical } from '../../values/show.ts';
import { isGiven, placeOf, type Characteristic } from '../model.ts';
import { isWritable } from './access.ts';
import { removeKey } from './edits.ts';
import { isAtRest, physicalOf } from './rest.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const startNotAtRest = characteristicRule<{ name: string; start: string }>(
  {
    code: 'start-not-at-rest',
    severity: 'warning',
    title: 'Actuator that starts by itself',
    why: 'At power-up, after a brown-out or a reset by the watchdog, it moves, heats or sounds before anyone has asked for it and while somebody may have a hand in it.',
    source: 'common practice',
    bad: characteristics(`
id: pump
label: Pump power
type: uint8
unit: percentage
range: [0, 100]
start: 30
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 0 }`),
    good: characteristics(`
id: pump
label: Pump power
type: uint8
unit: percentage
range: [0, 100]
start: 0
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 0 }`),
    message: ({ name, start }) =>
      `actuator \`${name}\` starts at ${start}, which is neither rest nor its value on link loss`,
    hint: () => 'delete `start`, which then is rest, or waive this with why the start is safe',
  },
  (characteristic, report, { text }) => {
    const { actuator, where, id, type, start } = characteristic;
    if (!actuator || !isWritable(characteristic) || !isGiven(where, 'start') || isFailsafe(characteristic)) return;
    const value = physicalOf(type, start);
    if (value === undefined || isAtRest(type, value)) return;
    report(
      placeOf(where, 'start'),
      { name: id, start: showPhysical(type, value, { unit: true }) },
      { fixes: [removeKey(text, where, 'start', 'Start at rest')] },
    );
  },
);

function isFailsafe({ onLinkLoss, start }: Characteristic): boolean {
  return onLinkLoss.kind === 'set' && equalBytes(onLinkLoss.raw, start);
}
