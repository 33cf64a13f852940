import { showTime, us } from '../../base/quantity.ts';
import { placeOf } from '../model.ts';
import { batteryService } from './battery.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

/** Below 100 ms the radio is on for more than one per cent of the time (three packets and their answers). */
const fast = us(100_000);

export const advertisingFastOnBattery = contractRule<{ interval: string }>(
  {
    code: 'advertising-fast-on-battery',
    severity: 'note',
    title: 'Fast advertising on a battery',
    why: 'A board spends most of its life unconnected. At 20 ms it sends 150 packets a second to nobody, and a coin cell is empty within days.',
    source: 'common practice',
    bad: radio('advertise: { interval: 20 ms }').replace('services:', 'use: [battery]\nservices:'),
    good: radio('advertise: { interval: 500 ms }').replace('services:', 'use: [battery]\nservices:'),
    message: ({ interval }) => `the board tells a battery level, but advertises every ${interval}`,
    hint: () => 'write `interval: 500 ms`, or more if it may take longer to be found',
  },
  (contract, report) => {
    const { interval, where } = contract.radio.advertise;
    if (interval.max < fast && batteryService(contract) !== undefined) {
      report(
        placeOf(where, 'interval'),
        { interval: showTime(interval.max) },
        { fixes: [replaceValue(where, 'interval', '500 ms', 'Make it 500 ms')] },
      );
    }
  },
);
