import { placeOf } from '../model.ts';
import { isWritable } from './access.ts';
import { removeKey } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const failsafeNotWritable = characteristicRule<{ name: string }>(
  {
    code: 'failsafe-not-writable',
    severity: 'warning',
    title: 'Value on link loss of what no client can set',
    why: 'A client that is gone has left nothing behind in a value it could not write; the line most often belongs to another characteristic.',
    source: 'contract language',
    bad: characteristics(`
id: level
label: Level
type: uint8
access: [read]
on-link-loss: { value: 0 }`),
    good: characteristics(`
id: level
label: Level
type: uint8
access: [read]`),
    message: ({ name }) => `\`${name}\` is set to a value on link loss, but no client can write it`,
    hint: () => 'delete `on-link-loss` here, or move it to the value that a client sets',
  },
  (characteristic, report, { text }) => {
    const { onLinkLoss, where, id } = characteristic;
    if (onLinkLoss.kind === 'unsaid' || isWritable(characteristic)) return;
    report(
      placeOf(where, 'on-link-loss'),
      { name: id },
      { fixes: [removeKey(text, where, 'on-link-loss', 'Delete on-link-loss')] },
    );
  },
);
