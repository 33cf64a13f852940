import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

const shortestInterval = us(15_000);
const shortestTimeout = us(2_000_000);
const longestTimeout = us(6_000_000);
const longestSleep = us(2_000_000);

export const outsidePhoneGuidelines = contractRule<{ found: string; allowed: string; key: string; use: string }>(
  {
    code: 'outside-phone-guidelines',
    severity: 'warning',
    title: 'Connection parameters that phones refuse',
    why: 'A phone keeps its own parameters when it does not like the ones a board asks for: the board works with one phone and is slow, or drops its link, with another.',
    source: 'guidelines of phone makers for accessories (common practice, from memory)',
    bad: radio('connection: { interval: 7.5 ms }'),
    good: radio('connection: { interval: 15 ms }'),
    message: ({ found, allowed }) => `${found}, but phones accept ${allowed}`,
    hint: ({ key, use }) => `write \`${key}: ${use}\`, or waive this if no phone will ever connect`,
  },
  (contract, report) => {
    const { interval, latency, timeout, where } = contract.radio.connection;
    const tell = (key: string, found: string, allowed: string, use: string): void => {
      const fixes = [replaceValue(where, key, use, `Make it ${use}`)];
      report(placeOf(where, key), { found, allowed, key, use }, { fixes });
    };
    if (interval.min < shortestInterval) {
      const use = interval.max > shortestInterval ? `[15 ms, ${showTime(interval.max)}]` : '15 ms';
      tell('interval', `the connection interval is ${showTime(interval.min)}`, '15 ms or more', use);
    }
    if (timeout < shortestTimeout || timeout > longestTimeout) {
      const use = timeout < shortestTimeout ? '2 s' : '6 s';
      tell('timeout', `the supervision timeout is ${showTime(timeout)}`, '2 s to 6 s', use);
    }
    const sleep = us(interval.max * (latency + 1));
    if (latency > 0 && sleep > longestSleep) {
      const use = `${Math.max(0, Math.floor(longestSleep / interval.max) - 1)}`;
      tell(
        'latency',
        `with this latency the board may be silent for ${showTime(sleep)}`,
        'at most 2 s of interval × (latency + 1)',
        use,
      );
    }
  },
);
