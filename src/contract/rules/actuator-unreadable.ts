import { placeOf } from '../model.ts';
import { accessList, isReadable, isWritable } from './access.ts';
import { replaceValue } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const actuatorUnreadable = characteristicRule<{ name: string; access: string }>(
  {
    code: 'actuator-unreadable',
    severity: 'note',
    title: 'Actuator whose state cannot be read',
    why: 'A client that comes back, or a second one, cannot see whether the machine runs; it shows off, or what it last wrote itself.',
    source: 'common practice',
    bad: characteristics(`
id: valve
label: Valve open
type: boolean
access: [write]
actuator: true
needs: encrypted
on-link-loss: { value: false }`),
    good: characteristics(`
id: valve
label: Valve open
type: boolean
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: false }`),
    message: ({ name }) => `actuator \`${name}\` can be set, but not read`,
    hint: ({ access }) =>
      `write \`access: ${access}\`, or waive this for a command that is over when it is carried out`,
  },
  (characteristic, report) => {
    const { actuator, access, where, id } = characteristic;
    if (!actuator || !isWritable(characteristic) || isReadable(characteristic)) return;
    const wanted = accessList(['read', ...access]);
    report(
      placeOf(where, 'access'),
      { name: id, access: wanted },
      { fixes: [replaceValue(where, 'access', wanted, 'Let it be read too')] },
    );
  },
);
