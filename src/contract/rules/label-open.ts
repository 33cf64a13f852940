import { placeOf } from '../model.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const labelOpen = characteristicRule<{ name: string }>(
  {
    code: 'label-open',
    severity: 'note',
    title: 'Label that anyone can write',
    why: 'Anyone within reach can give the value another name, which all other clients then show.',
    source: 'Core Vol 3 Part G 3.3.3.1 and 3.3.3.2',
    bad: characteristics(`
id: probe
label: Probe
type: uint16
access: [read]
extended: [writable-description]`),
    good: characteristics(`
id: probe
label: Probe
type: uint16
access: [read, write]
needs: { write: encrypted }
extended: [writable-description]`),
    message: ({ name }) => `the label of \`${name}\` can be written over an open link by anyone within reach`,
    hint: () =>
      'add `needs: { write: encrypted }`, which holds for the label too, or take `writable-description` out of `extended`',
  },
  (characteristic, report) => {
    const { writableLabel, needs, where, id } = characteristic;
    if (writableLabel && needs.write === 'open') report(placeOf(where, 'extended'), { name: id });
  },
);
