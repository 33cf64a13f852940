import { radio } from '../../contract/rules/sample.ts';
import { loads, notifyPlace, others } from './load.ts';
import { tableRule } from './table-rule.ts';

const wave = (rate: string): string => `
id: wave
label: Wave
type: { array: sint16, count: 80 }
access: [notify]
notify: { on: every ${rate} }`;

export const rateBeyondAir = tableRule<{ name: string; percent: number; mine: number; connection: string }>(
  {
    code: 'rate-beyond-air',
    severity: 'error',
    title: 'More notifications than the air has time for',
    why: 'The packets take longer than there is time, without a single loss and with nothing else on the air: queues fill and values are lost.',
    source: 'Core Vol 6 Part B 2.1, 2.2 and 4.1.1: packet lengths and the space of 150 µs between packets',
    bad: radio('connection: { mtu: 185 }', wave('2 ms')),
    good: radio('connection: { mtu: 185, data-length: 251 }', wave('30 ms')),
    message: ({ name, percent, mine, connection }) =>
      `at their highest rates the notifications take ${percent} % of the time on ${connection}, \`${name}\` alone ${mine} %`,
    hint: ({ name }) =>
      `lower the rate of \`${name}\`, put fewer octets into it, or raise \`data-length\` or \`phy\` of the connection`,
  },
  (compiled, report) => {
    const all = loads(compiled);
    const total = all.reduce((sum, load) => sum + load.share, 0);
    const first = all[0];
    if (total <= 1 || first === undefined) return;
    const { phy, dataLength } = compiled.contract.radio.connection;
    report(
      notifyPlace(first),
      {
        name: first.entry.value.id,
        percent: Math.round(total * 100),
        mine: Math.round(first.share * 100),
        connection: `PHY ${phy} with packets of ${dataLength} octets`,
      },
      { related: others(all, (load) => `${Math.round(load.share * 100)} %`) },
    );
  },
);
