import { showTime, us, type Microseconds } from '../../base/quantity.ts';
import { everyCharacteristic, placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { batteryService } from './battery.ts';
import { shortestSpacing } from './rate.ts';
import { setKey } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

const slow = `
id: humidity
label: Soil humidity
type: uint8
unit: percentage
range: [0, 100]
access: [read, notify]
notify: { on: change, at-most: 1 Hz }`;

export const connectionFastOnBattery = contractRule<{ interval: string; spacing: string; latency: number }>(
  {
    code: 'connection-fast-on-battery',
    severity: 'note',
    title: 'Connection far faster than its values, on a battery',
    why: 'At every connection event the board wakes and answers, with or without news.',
    source: 'Core Vol 6 Part B 4.5.1; common practice',
    bad: radio('connection: { interval: 30 ms }', slow).replace('services:', 'use: [battery]\nservices:'),
    good: radio('connection: { interval: 100 ms, latency: 9, timeout: 6 s }', slow).replace(
      'services:',
      'use: [battery]\nservices:',
    ),
    message: ({ interval, spacing }) =>
      `the board tells a battery level and wakes every ${interval}, but has a value to send every ${spacing} at most`,
    hint: ({ latency }) =>
      `write \`latency: ${latency}\`, which lets it sleep while it has nothing to send, or a longer interval`,
  },
  (contract, report, text) => {
    const battery = batteryService(contract);
    if (battery === undefined) return;
    const { interval, latency, where } = contract.radio.connection;
    const all = everyCharacteristic(contract).map(({ characteristic }) => characteristic);
    const spacings = all.flatMap(({ notify }) => (notify === undefined ? [] : [shortestSpacing(notify)]));
    // Without a bound nothing is known; a board that is written to must listen often.
    if (spacings.length === 0 || all.some(isWritable)) return;
    const known = spacings.filter((spacing) => spacing !== undefined);
    if (known.length < spacings.length) return;
    const fastest = us(Math.min(...known));
    const awake: Microseconds = us(interval.max * (latency + 1));
    if (fastest < 10 * awake) return;
    const given = ['interval', 'latency'].find((key) => where.keys.has(key));
    // Sleep for a third of the time between values, and no longer than phones accept.
    const sleep = Math.min(fastest / 3, 2_000_000);
    const use = Math.max(1, Math.min(30, Math.floor(sleep / interval.max) - 1));
    const fixes = [setKey(text, where, 'latency', `${use}`, `Let it sleep through ${use} events`)];
    report(
      given === undefined ? battery.where.self : placeOf(where, given),
      { interval: showTime(awake), spacing: showTime(fastest), latency: use },
      { fixes },
    );
  },
  { needsWhole: true },
);
