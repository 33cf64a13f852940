import { placeOf, type Characteristic } from '../model.ts';
import { accessList, isPublished, isReadable, isWritable } from './access.ts';
import { replaceValue } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const pollOnly = characteristicRule<{ name: string; access: string }>(
  {
    code: 'poll-only',
    severity: 'note',
    title: 'Measured value that can only be polled',
    why: 'Each read costs a request and a response over two connection events, most of them for a value that has not changed; a notification costs one packet when there is news.',
    source: 'common practice',
    bad: characteristics(`
id: pressure
label: Line pressure
type: uint32
unit: pascal
range: [0, 1000000]
access: [read]`),
    good: characteristics(`
id: pressure
label: Line pressure
type: uint32
unit: pascal
range: [0, 1000000]
access: [read, notify]
notify: { on: change, at-most: 1 Hz }`),
    message: ({ name }) =>
      `\`${name}\` is a quantity that the board changes, but a client can only ask for it again and again`,
    hint: ({ access }) => `write \`access: ${access}\` and a rate, or waive this for a value that stays as it is`,
  },
  (characteristic, report) => {
    const { access, where, id } = characteristic;
    if (!isReadable(characteristic) || isWritable(characteristic) || isPublished(characteristic)) return;
    if (!isMeasured(characteristic)) return;
    const wanted = accessList([...access, 'notify']);
    report(
      placeOf(where, 'access'),
      { name: id, access: wanted },
      { fixes: [replaceValue(where, 'access', wanted, 'Let clients subscribe')] },
    );
  },
);

/** A converter behind it, or a number that carries a unit. */
function isMeasured({ drive, type, adopted }: Characteristic): boolean {
  if (drive?.kind === 'adc') return true;
  if (adopted !== undefined || (type.kind !== 'integer' && type.kind !== 'float')) return false;
  return type.unit !== 0x2700;
}
