import { showTime } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { rateOf } from './rate.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const periodBelowBound = characteristicRule<{ name: string; period: string; spacing: string; rate: string }>(
  {
    code: 'period-below-bound',
    severity: 'warning',
    title: 'Sent oftener than its own bound allows',
    why: 'The bound wins and values are skipped, so the stream has another rate than the line promises.',
    source: 'contract language',
    bad: characteristics(`
id: strain
label: Strain
type: sint16
access: [read, notify]
notify: { on: every 50 ms, at-most: 10 Hz }`),
    good: characteristics(`
id: strain
label: Strain
type: sint16
access: [read, notify]
notify: { on: every 100 ms, at-most: 10 Hz }`),
    message: ({ name, period, spacing }) => `\`${name}\` is to be sent every ${period}, but at most once in ${spacing}`,
    hint: ({ spacing, rate }) => `write \`every ${spacing}\`, or \`at-most: ${rate}\``,
  },
  (characteristic, report) => {
    const { notify, where, id } = characteristic;
    if (notify?.on.kind !== 'every' || notify.minSpacing === undefined) return;
    if (notify.on.period >= notify.minSpacing) return;
    report(placeOf(where, 'notify'), {
      name: id,
      period: showTime(notify.on.period),
      spacing: showTime(notify.minSpacing),
      rate: rateOf(notify.on.period),
    });
  },
);
