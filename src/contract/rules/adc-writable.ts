import { placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

const cell = (access: string): string => `
id: cell
label: Cell voltage
type: uint16
scale: { decimal: -3 }
unit: volt
range: [0, 3]
step: 0.001
access: ${access}
notify: { on: change, at-most: 1 Hz }
drive: { kind: adc, bits: 12, reference: 3.3 }`;

export const adcWritable = characteristicRule<{ name: string }>(
  {
    code: 'adc-writable',
    severity: 'warning',
    title: 'Measurement that a client can write',
    why: 'The next conversion overwrites what the client wrote; the write is accepted and means nothing.',
    source: 'contract language',
    bad: characteristics(cell('[read, write, notify]')),
    good: characteristics(cell('[read, notify]')),
    message: ({ name }) => `\`${name}\` is measured by an ADC, but can be written`,
    hint: () => 'take the write out of `access`, or use `drive: { kind: dac, … }` for an output',
  },
  (characteristic, report) => {
    const { drive, where, id } = characteristic;
    if (drive?.kind !== 'adc' || !isWritable(characteristic)) return;
    report(
      placeOf(where, 'access'),
      { name: id },
      { related: [{ message: 'the drive is here', at: placeOf(where, 'drive') }] },
    );
  },
);
