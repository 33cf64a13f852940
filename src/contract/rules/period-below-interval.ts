import { showTime } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { givenAt, characteristicRule } from './rule.ts';
import { plainCounter, radio } from './sample.ts';

const strain = `
id: strain
label: Strain
type: sint16
access: [read, notify]
notify: { on: every 10 ms, at-most: 100 Hz }`;

export const periodBelowInterval = characteristicRule<{ name: string; period: string; interval: string }>(
  {
    code: 'period-below-interval',
    severity: 'note',
    title: 'Sent oftener than the link meets',
    why: 'Values wait for the next connection event and arrive in bunches: their times of arrival say nothing of when they were taken, and a full queue drops some.',
    source: 'Core Vol 6 Part B 4.5.1',
    bad: radio('connection: { interval: 30 ms }', strain),
    good: radio('connection: { interval: 30 ms }', plainCounter),
    message: ({ name, period, interval }) =>
      `\`${name}\` is sent every ${period}, but board and client meet only every ${interval}`,
    hint: ({ period, interval }) =>
      `put several samples into one array and send it every ${interval} or more, or set the connection interval to ${period} or less`,
  },
  (characteristic, report, { contract }) => {
    const { notify, where, id } = characteristic;
    const interval = contract.radio.connection.interval.min;
    if (notify?.on.kind !== 'every' || notify.on.period >= interval) return;
    report(
      placeOf(where, 'notify'),
      { name: id, period: showTime(notify.on.period), interval: showTime(interval) },
      {
        related: [givenAt(contract.radio.connection.where, 'interval', 'the connection interval is here')],
      },
    );
  },
);
