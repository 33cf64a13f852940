import { placeOf } from '../model.ts';
import { accessList, may } from './access.ts';
import { replaceValue } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const reliableWriteUnused = characteristicRule<{ name: string }>(
  {
    code: 'reliable-write-unused',
    severity: 'warning',
    title: 'Reliable write without write',
    why: 'The bit promises a procedure made of prepared writes, which the properties then forbid.',
    source: 'Core Vol 3 Part G 3.3.3.1 and 4.9.5',
    bad: characteristics(`
id: plan
label: Plan
type: bytes
length: [0, 20]
access: [read]
extended: [reliable-write]`),
    good: characteristics(`
id: plan
label: Plan
type: bytes
length: [0, 20]
access: [read, write]
extended: [reliable-write]`),
    message: ({ name }) => `\`${name}\` offers reliable writes, but its access has no \`write\``,
    hint: () => 'add `write` to `access`, or take `reliable-write` out of `extended`',
  },
  (characteristic, report) => {
    if (!characteristic.reliableWrite || may(characteristic, 'write')) return;
    const { where, access, id } = characteristic;
    const fixes = [replaceValue(where, 'access', accessList([...access, 'write']), 'Let it be written')];
    report(placeOf(where, 'extended'), { name: id }, { fixes });
  },
);
