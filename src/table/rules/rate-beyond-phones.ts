import { showTime, toMs } from '../../base/quantity.ts';
import { radio } from '../../contract/rules/sample.ts';
import { loads, notifyPlace, others } from './load.ts';
import { tableRule } from './table-rule.ts';

const wave = (connection: string): string =>
  radio(
    connection,
    `
id: wave
label: Wave
type: { array: sint16, count: 40 }
access: [notify]
notify: { on: every 20 ms }`,
  );

/** Packets that common phones take in one connection event. Common practice, from memory: 4 to 6. */
const perEvent = 4;

export const rateBeyondPhones = tableRule<{ name: string; need: number; mine: number; interval: string }>(
  {
    code: 'rate-beyond-phones',
    severity: 'warning',
    title: 'More notifications than phones take',
    why: 'A phone shares its radio among all it does and takes a few packets at each connection event, however long the interval. What is more waits, then gets lost.',
    source: 'common practice, from memory: 4 to 6 packets in one connection event',
    bad: wave('connection: { interval: 30 ms, mtu: 185 }'),
    good: wave('connection: { interval: 15 ms, mtu: 185, data-length: 251 }'),
    message: ({ name, need, mine, interval }) =>
      `at their highest rates the notifications need ${need} packets in each interval of ${interval}, but many phones take 4; \`${name}\` alone needs ${mine}`,
    hint: ({ name }) =>
      `lower the rate of \`${name}\`, shorten the connection interval, or raise \`data-length\` so that a value takes fewer packets`,
  },
  (compiled, report) => {
    const { interval } = compiled.contract.radio.connection;
    const all = [...loads(compiled)].sort((a, b) => b.rate - a.rate);
    const first = all[0];
    // What the air itself cannot carry is `rate-beyond-air`.
    if (first === undefined || all.reduce((sum, load) => sum + load.share, 0) > 1) return;
    const perInterval = (rate: number): number => (rate * toMs(interval.max)) / 1000;
    const need = perInterval(all.reduce((sum, load) => sum + load.rate, 0));
    if (need <= perEvent) return;
    const show = (packets: number): number => Math.round(packets * 10) / 10;
    report(
      notifyPlace(first),
      {
        name: first.entry.value.id,
        need: show(need),
        mine: show(perInterval(first.rate)),
        interval: showTime(interval.max),
      },
      { related: others(all, (load) => `${show(perInterval(load.rate))} packets`) },
    );
  },
);
