import { placeOf, type Where } from '../model.ts';
import { removeKey } from './edits.ts';
import { contractRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const labelEmpty = contractRule<{ name: string }>(
  {
    code: 'label-empty',
    severity: 'warning',
    title: 'Blank label',
    why: 'The label becomes the user description, which is what a person sees in a general client; a blank one shows only a UUID.',
    source: 'Core Vol 3 Part G 3.3.3.2',
    bad: characteristics('id: count\nlabel: " "\ntype: uint32\naccess: [read]'),
    good: characteristics('id: count\nlabel: Parts counted\ntype: uint32\naccess: [read]'),
    message: ({ name }) => `\`${name}\` has a label of blanks only`,
    hint: () => 'write what a person would call it, or delete `label` to take the id',
  },
  (contract, report, text) => {
    const tell = (id: string, label: string, where: Where): void => {
      if (label.trim() !== '') return;
      const fix = removeKey(text, where, 'label', 'Delete the blank label');
      report(placeOf(where, 'label'), { name: id }, { fixes: [fix] });
    };
    for (const service of contract.services) {
      tell(service.id, service.label, service.where);
      for (const { id, label, where } of service.characteristics) tell(id, label, where);
    }
  },
);
