import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { may } from './access.ts';
import { rateOf, shortestSpacing } from './rate.ts';
import { givenAt, characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const indicateTooFast = characteristicRule<{ name: string; spacing: string; least: string; rate: string }>(
  {
    code: 'indicate-too-fast',
    severity: 'warning',
    title: 'Indications faster than they can be confirmed',
    why: 'An indication goes out at one connection event and its confirmation comes back at a later one; until then no other may be sent, of any characteristic. A flood of them holds everything up.',
    source: 'Core Vol 3 Part F 3.3.2 and 3.4.7.3',
    bad: characteristics(`
id: alarm
label: Alarm
type: uint8
access: [read, indicate]
notify: { on: change, at-most: 50 Hz }`),
    good: characteristics(`
id: alarm
label: Alarm
type: uint8
access: [read, indicate]
notify: { on: change, at-most: 2 Hz }`),
    message: ({ name, spacing, least }) =>
      `\`${name}\` may be indicated every ${spacing}, but an indication and its confirmation take up to ${least}`,
    hint: ({ rate }) => `write \`at-most: ${rate}\` or less, or use \`notify\` for what comes often`,
  },
  (characteristic, report, { contract }) => {
    const { notify, where, id } = characteristic;
    // Where both are allowed a client in a hurry takes notifications.
    if (notify === undefined || !may(characteristic, 'indicate') || may(characteristic, 'notify')) return;
    const spacing = shortestSpacing(notify);
    const least = us(2 * contract.radio.connection.interval.max);
    if (spacing === undefined || spacing >= least) return;
    report(
      placeOf(where, 'notify'),
      { name: id, spacing: showTime(spacing), least: showTime(least), rate: rateOf(least) },
      {
        related: [givenAt(contract.radio.connection.where, 'interval', 'the connection interval is here')],
      },
    );
  },
);
