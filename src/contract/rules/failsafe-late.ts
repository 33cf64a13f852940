import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { givenAt, characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

/** Ten seconds: longer than a person would watch a machine run on before reaching for the switch. */
const patience = us(10_000_000);

export const failsafeLate = characteristicRule<{ name: string; timeout: string; within: string; total: string }>(
  {
    code: 'failsafe-late',
    severity: 'warning',
    title: 'Safe value comes late',
    why: 'The board learns of a lost link only when the supervision timeout has passed; `within` counts from there, so both add up.',
    source: 'Core Vol 6 Part B 4.5.2',
    bad: characteristics(`
id: hoist
label: Hoist on
type: boolean
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: false, within: 20 s }`),
    good: characteristics(`
id: hoist
label: Hoist on
type: boolean
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: false, within: 1 s }`),
    message: ({ name, timeout, within, total }) =>
      `actuator \`${name}\` runs on for up to ${total} after the link is lost: ${timeout} until the loss is noticed and ${within} more`,
    hint: () => 'shorten `within`, or the supervision timeout in `radio.connection.timeout`, to 10 s together',
  },
  (characteristic, report, { contract }) => {
    const { actuator, onLinkLoss, where, id } = characteristic;
    if (!actuator || onLinkLoss.kind !== 'set') return;
    const { timeout, where: connection } = contract.radio.connection;
    const total = us(timeout + onLinkLoss.within);
    if (total <= patience) return;
    report(
      placeOf(where, 'on-link-loss'),
      { name: id, timeout: showTime(timeout), within: showTime(onLinkLoss.within), total: showTime(total) },
      { related: [givenAt(connection, 'timeout', 'the supervision timeout is here')] },
    );
  },
);
