import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

const longest = us(10_240_000);

export const advertisingBeyondLegacy = contractRule<{ interval: string }>(
  {
    code: 'advertising-beyond-legacy',
    severity: 'error',
    title: 'Advertising interval that legacy advertising has not',
    why: 'The advertising data of a contract are legacy advertising, which every client hears; its interval ends at 10.24 s.',
    source: 'Core Vol 4 Part E 7.8.5; Vol 6 Part B 4.4.2.2',
    bad: radio('advertise: { interval: 20 s }'),
    good: radio('advertise: { interval: 10 s }'),
    message: ({ interval }) => `the advertising interval is ${interval}, but legacy advertising has at most 10.24 s`,
    hint: () => 'write `interval: 10 s` or less',
  },
  (contract, report) => {
    const { interval, where } = contract.radio.advertise;
    if (interval.max > longest) {
      report(
        placeOf(where, 'interval'),
        { interval: showTime(interval.max) },
        { fixes: [replaceValue(where, 'interval', '10 s', 'Make it 10 s')] },
      );
    }
  },
);
