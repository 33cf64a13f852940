import { us } from '../../base/quantity.ts';
import { setKey } from '../../contract/rules/edits.ts';
import { givenAt } from '../../contract/rules/rule.ts';
import { radio } from '../../contract/rules/sample.ts';
import { loads, notifyPlace } from './load.ts';
import { tableRule } from './table-rule.ts';

const wave = `
id: wave
label: Wave
type: { array: sint16, count: 40 }
access: [notify]
notify: { on: every 100 ms }`;

/** Slower values lose nothing worth a word by going in pieces. */
const fast = us(100_000);

export const valueInPieces = tableRule<{ name: string; packets: number; dataLength: number; use: number }>(
  {
    code: 'value-in-pieces',
    severity: 'note',
    title: 'Fast value that goes in several packets',
    why: 'Each packet costs its own header, its answer and two spaces; with longer packets the same value takes a fraction of the time and charge.',
    source: 'Core Vol 6 Part B 4.5.10',
    bad: radio('connection: { mtu: 185 }', wave),
    good: radio('connection: { mtu: 185, data-length: 251 }', wave),
    message: ({ name, packets, dataLength }) =>
      `each notification of \`${name}\` goes in ${packets} packets of at most ${dataLength} octets`,
    hint: ({ use }) => `write \`data-length: ${use}\` in \`radio.connection\`, which most controllers can do`,
  },
  (compiled, report, text) => {
    const { dataLength, mtu, where } = compiled.contract.radio.connection;
    for (const load of loads(compiled)) {
      if (load.packets <= 1 || load.spacing > fast) continue;
      const use = Math.min(251, Math.min(load.entry.value.maxLength, mtu - 3) + 7);
      if (use <= dataLength) continue;
      const fix = setKey(text, where, 'data-length', `${use}`, `Ask for packets of ${use} octets`);
      report(
        notifyPlace(load),
        { name: load.entry.value.id, packets: load.packets, dataLength, use },
        {
          related: [givenAt(where, 'data-length', 'the packet length is here')],
          fixes: [fix],
        },
      );
    }
  },
);
