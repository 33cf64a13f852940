import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

const shortestInterval = us(15_000);
const shortestTimeout = us(2_000_000);
const longestTimeout = us(6_000_000);
const longestSleep = us(2_000_000);

export const outsidePhoneGuidelines = contractRule<{ found: string; allowed: string; remedy: string }>(
  {
    code: 'outside-phone-guidelines',
    severity: 'warning',
    title: 'Connection parameters that phones refuse',
    why: 'A phone keeps its own parameters when it does not like the ones a board asks for: the board works with one phone and is slow, or drops its link, with another.',
    source: 'guidelines of phone makers for accessories (common practice, from memory)',
    bad: radio('connection: { interval: 7.5 ms }'),
    good: radio('connection: { interval: 15 ms }'),
    message: ({ found, allowed }) => `${found}, but phones accept ${allowed}`,
    hint: ({ remedy }) => `${remedy}, or waive this if no phone will ever connect`,
  },
  (contract, report) => {
    const { interval, latency, timeout, where } = contract.radio.connection;
    if (interval.min < shortestInterval) {
      report(placeOf(where, 'interval'), {
        found: `the connection interval is ${showTime(interval.min)}`,
        allowed: '15 ms or more',
        remedy:
          interval.max >= shortestInterval
            ? `write \`interval: [15 ms, ${showTime(interval.max)}]\``
            : 'write `interval: 15 ms`',
      });
    }
    if (timeout < shortestTimeout || timeout > longestTimeout) {
      report(placeOf(where, 'timeout'), {
        found: `the supervision timeout is ${showTime(timeout)}`,
        allowed: '2 s to 6 s',
        remedy: `write \`timeout: ${timeout < shortestTimeout ? '2 s' : '6 s'}\``,
      });
    }
    const sleep = us(interval.max * (latency + 1));
    if (latency > 0 && sleep > longestSleep) {
      report(placeOf(where, 'latency'), {
        found: `with this latency the board may be silent for ${showTime(sleep)}`,
        allowed: 'at most 2 s of interval × (latency + 1)',
        remedy: `write \`latency: ${Math.max(0, Math.floor(longestSleep / interval.max) - 1)}\``,
      });
    }
  },
);
