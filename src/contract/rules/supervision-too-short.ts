import { showTime, us, type Microseconds } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule, givenAt } from './rule.ts';
import { radio } from './sample.ts';

/** Steps of the supervision timeout. */
const step = us(10_000);
const longest = us(32_000_000);

export const supervisionTooShort = contractRule<{ timeout: string; least: string; use: string | undefined }>(
  {
    code: 'supervision-too-short',
    severity: 'error',
    title: 'Supervision timeout too short for interval and latency',
    why: 'With fewer than two chances to be heard within the timeout a single lost packet drops the link; controllers refuse such parameters, and the connection or its update fails.',
    source: 'Core Vol 6 Part B 4.5.2: timeout > (1 + latency) × interval × 2',
    bad: radio('connection: { interval: 50 ms, latency: 4, timeout: 500 ms }'),
    good: radio('connection: { interval: 50 ms, latency: 4, timeout: 2 s }'),
    message: ({ timeout, least }) =>
      `the supervision timeout is ${timeout}, but must be longer than ${least}: twice the interval, times one more than the latency`,
    hint: ({ use }) =>
      use === undefined
        ? 'lower the latency or the interval: the timeout may be at most 32 s'
        : `write \`timeout: ${use}\` or more`,
  },
  (contract, report) => {
    const { interval, latency, timeout, where } = contract.radio.connection;
    // The longest interval allowed must do too: the central chooses.
    const least = us(2 * (latency + 1) * interval.max);
    if (timeout > least) return;
    const enough = nextStep(least);
    const use = enough > longest ? undefined : showTime(enough);
    const fix = use === undefined ? undefined : replaceValue(where, 'timeout', use, `Make it ${use}`);
    const place = ['timeout', 'latency', 'interval'].find((key) => where.keys.has(key)) ?? 'timeout';
    const related = ['interval', 'latency']
      .filter((key) => key !== place)
      .map((key) => givenAt(where, key, `the ${key} is here`));
    report(
      placeOf(where, place),
      { timeout: showTime(timeout), least: showTime(least), use },
      { related, fixes: [fix] },
    );
  },
);

/** The first allowed timeout above `time`. */
function nextStep(time: Microseconds): Microseconds {
  return us((Math.floor(time / step) + 1) * step);
}
