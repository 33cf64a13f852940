import { showTime, us } from '../../base/quantity.ts';
import { everyCharacteristic, placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

const valve = `
id: valve
label: Valve open
type: boolean
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: false }`;

/** Half a second: a person presses the button again. */
const noticeable = us(500_000);

export const latencyDelaysWrites = contractRule<{ name: string; delay: string }>(
  {
    code: 'latency-delays-writes',
    severity: 'note',
    title: 'Latency delays commands to an actuator',
    why: 'With peripheral latency the board sleeps through that many connection events; a command waits until it listens again.',
    source: 'Core Vol 6 Part B 4.5.1',
    bad: radio('connection: { interval: 100 ms, latency: 9, timeout: 6 s }', valve),
    good: radio('connection: { interval: 100 ms, latency: 0, timeout: 6 s }', valve),
    message: ({ name, delay }) => `a write to actuator \`${name}\` may wait ${delay} until the board listens`,
    hint: () => 'lower `latency` or the interval so that (latency + 1) × interval is at most 500 ms',
  },
  (contract, report) => {
    const { interval, latency, where } = contract.radio.connection;
    const delay = us((latency + 1) * interval.max);
    if (delay <= noticeable) return;
    const first = everyCharacteristic(contract).find(
      ({ characteristic }) => characteristic.actuator && isWritable(characteristic),
    );
    if (first === undefined) return;
    const { characteristic } = first;
    report(
      placeOf(where, where.keys.has('latency') ? 'latency' : 'interval'),
      { name: characteristic.id, delay: showTime(delay) },
      { related: [{ message: 'the actuator is here', at: placeOf(characteristic.where, 'id') }] },
    );
  },
);
