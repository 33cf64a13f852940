import { placeOf } from '../model.ts';
import { isReadable, isWeaker, isWritable } from './access.ts';
import { replaceValue } from './edits.ts';
import { needsText } from './needs-text.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const writeWeakerThanRead = characteristicRule<{ name: string; read: string; write: string }>(
  {
    code: 'write-weaker-than-read',
    severity: 'warning',
    title: 'Anyone may set what few may see',
    why: 'To change a value is more than to look at it; the two needs are most often swapped.',
    source: 'common practice',
    bad: characteristics(`
id: limit
label: Weight limit
type: uint16
unit: kilogram
range: [0, 500]
access: [read, write]
needs: { read: encrypted, write: open }`),
    good: characteristics(`
id: limit
label: Weight limit
type: uint16
unit: kilogram
range: [0, 500]
access: [read, write]
needs: { read: open, write: encrypted }`),
    message: ({ name, read, write }) =>
      `reading \`${name}\` needs a link that is \`${read}\`, but writing only \`${write}\``,
    hint: ({ read }) => `write \`write: ${read}\` in \`needs\``,
  },
  (characteristic, report) => {
    const { needs, where, id } = characteristic;
    if (!isReadable(characteristic) || !isWritable(characteristic) || !isWeaker(needs.write, needs.read)) return;
    const wanted = needsText({ ...needs, write: needs.read });
    report(
      placeOf(where, 'needs'),
      { name: id, read: needs.read, write: needs.write },
      { fixes: [replaceValue(where, 'needs', wanted, 'Protect the write too')] },
    );
  },
);
