import { placeOf, type Characteristic } from '../model.ts';
import { accessList, may } from './access.ts';
import { replaceValue } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const writeMayBeLost = characteristicRule<{ name: string; what: string; access: string }>(
  {
    code: 'write-may-be-lost',
    severity: 'warning',
    title: 'Write that must arrive, but is not answered',
    why: 'A write without response is thrown away without a word when the board is busy, the value is refused or the link is not secure enough; the client believes it has been obeyed.',
    source: 'Core Vol 3 Part F 3.4.5.3; common practice',
    bad: characteristics(`
id: stirrer
label: Stirrer on
type: boolean
access: [read, write-without-response]
actuator: true
needs: encrypted
on-link-loss: { value: false }`),
    good: characteristics(`
id: stirrer
label: Stirrer on
type: boolean
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: false }`),
    message: ({ name, what }) => `\`${name}\` is ${what}, but can only be written without response`,
    hint: ({ access }) => `write \`access: ${access}\`, so that a client can choose the write that is answered`,
  },
  (characteristic, report) => {
    const { access, where, id } = characteristic;
    if (!may(characteristic, 'write-without-response') || may(characteristic, 'write')) return;
    const what = mustArrive(characteristic);
    if (what === undefined) return;
    const wanted = accessList(access.flatMap((word) => (word === 'write-without-response' ? ['write', word] : [word])));
    report(
      placeOf(where, 'access'),
      { name: id, what, access: wanted },
      { fixes: [replaceValue(where, 'access', wanted, 'Allow the write with response too')] },
    );
  },
);

function mustArrive(characteristic: Characteristic): string | undefined {
  if (characteristic.actuator) return 'an actuator';
  if (characteristic.onLinkLoss.kind === 'set') return 'set to a safe value on link loss';
  if (characteristic.needs.write !== 'open') return 'protected';
  if (characteristic.type.kind === 'struct') return 'a set of values that belong together';
  // What can be read back is a setting; what cannot is a stream, where the next octets make up for lost ones.
  if (may(characteristic, 'read')) return 'a setting that can be read back';
  return undefined;
}
