import { showTime } from '../../base/quantity.ts';
import { placeOf } from '../../contract/model.ts';
import { radio } from '../../contract/rules/sample.ts';
import { exchangeTime } from './air-time.ts';
import { tableRule } from './table-rule.ts';

export const packetLongerThanInterval = tableRule<{ time: string; dataLength: number; phy: string; interval: string }>(
  {
    code: 'packet-longer-than-interval',
    severity: 'warning',
    title: 'Packet that lasts longer than the interval',
    why: 'A packet and its answer must end before the next connection event begins, so the controllers agree on shorter packets than the contract counts on.',
    source: 'Core Vol 6 Part B 2.2 and 4.5.10',
    bad: radio('connection: { interval: 15 ms, phy: coded-s8, data-length: 251 }'),
    good: radio('connection: { interval: 30 ms, phy: coded-s8, data-length: 251 }'),
    message: ({ time, dataLength, phy, interval }) =>
      `a packet of ${dataLength} octets and its answer take ${time} on PHY ${phy}, but the interval is ${interval}`,
    hint: () => 'lower `data-length`, choose a faster PHY, or lengthen the interval',
  },
  ({ contract }, report) => {
    const { interval, dataLength, phy, where } = contract.radio.connection;
    const time = exchangeTime(phy, dataLength);
    if (time <= interval.min) return;
    report(placeOf(where, where.keys.has('data-length') ? 'data-length' : 'phy'), {
      time: showTime(time),
      dataLength,
      phy,
      interval: showTime(interval.min),
    });
  },
);
