import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

/** Two seconds between chances to be heard: most screens that list boards are closed before three have passed. */
const slow = us(2_000_000);

export const advertisingSlow = contractRule<{ interval: string }>(
  {
    code: 'advertising-slow',
    severity: 'note',
    title: 'Board that is slow to be found',
    why: 'A phone listens for part of the time only, so a board that advertises rarely is found after many intervals, and people think it is off.',
    source: 'common practice',
    bad: radio('advertise: { interval: 5 s }'),
    good: radio('advertise: { interval: 1 s }'),
    message: ({ interval }) =>
      `the board advertises only every ${interval}, and a phone that listens part of the time hears some of it`,
    hint: () => 'write `interval: 1 s` or less, or waive this with the charge it saves',
  },
  (contract, report) => {
    const { interval, where } = contract.radio.advertise;
    if (interval.max > slow) {
      report(
        placeOf(where, 'interval'),
        { interval: showTime(interval.max) },
        { fixes: [replaceValue(where, 'interval', '1 s', 'Make it 1 s')] },
      );
    }
  },
);
