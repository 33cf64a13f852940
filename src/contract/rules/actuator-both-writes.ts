import { placeOf } from '../model.ts';
import { accessList, may } from './access.ts';
import { replaceValue } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const actuatorBothWrites = characteristicRule<{ name: string; access: string }>(
  {
    code: 'actuator-both-writes',
    severity: 'note',
    title: 'Actuator with both kinds of write',
    why: 'The client chooses, and many choose the write that is not answered: a command to stop can then be lost unnoticed.',
    source: 'common practice',
    bad: characteristics(`
id: fan
label: Fan on
type: boolean
actuator: true
access: [read, write, write-without-response]
needs: encrypted
on-link-loss: { value: false }`),
    good: characteristics(`
id: fan
label: Fan on
type: boolean
actuator: true
access: [read, write]
needs: encrypted
on-link-loss: { value: false }`),
    message: ({ name }) =>
      `actuator \`${name}\` takes writes with and without response, so a client may choose the one that can be lost`,
    hint: ({ access }) => `write \`access: ${access}\` unless the rate of writes needs the other`,
  },
  (characteristic, report) => {
    const { access, where, id, actuator } = characteristic;
    if (!actuator || !may(characteristic, 'write') || !may(characteristic, 'write-without-response')) return;
    const wanted = accessList(access.filter((word) => word !== 'write-without-response'));
    report(
      placeOf(where, 'access'),
      { name: id, access: wanted },
      { fixes: [replaceValue(where, 'access', wanted, 'Keep the write with response')] },
    );
  },
);
