import { isGiven, placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { removeKey } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const refuseWithUnused = characteristicRule<{ name: string }>(
  {
    code: 'refuse-with-unused',
    severity: 'warning',
    title: 'Error for writes that nobody can make',
    why: 'The error is sent when a client writes a value outside the range; without write access it never is.',
    source: 'contract language',
    bad: characteristics(`
id: count
label: Count
type: uint16
access: [read]
refuse-with: 0x80`),
    good: characteristics(`
id: count
label: Count
type: uint16
access: [read]`),
    message: ({ name }) => `\`${name}\` says how to refuse a write, but cannot be written`,
    hint: () => 'delete `refuse-with`, or add `write` to `access`',
  },
  (characteristic, report, { text }) => {
    const { where, id } = characteristic;
    if (!isGiven(where, 'refuse-with') || isWritable(characteristic)) return;
    report(
      placeOf(where, 'refuse-with'),
      { name: id },
      { fixes: [removeKey(text, where, 'refuse-with', 'Delete refuse-with')] },
    );
  },
);
