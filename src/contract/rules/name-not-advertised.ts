import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

export const nameNotAdvertised = contractRule<{ name: string }>(
  {
    code: 'name-not-advertised',
    severity: 'note',
    title: 'No name is advertised',
    why: 'Lists of boards show an address or nothing; a person cannot tell which one to choose.',
    source: 'common practice',
    bad: radio('advertise: { name: none }'),
    good: radio('advertise: { name: auto }'),
    message: ({ name }) => `the name \`${name}\` is not advertised, as the contract says`,
    hint: () => 'write `name: auto`, or waive this for a board that is found by its service alone',
  },
  (contract, report) => {
    const { name, where } = contract.radio.advertise;
    if (name !== 'none') return;
    const fixes = [replaceValue(where, 'name', 'auto', 'Advertise it')];
    report(placeOf(where, 'name'), { name: contract.board.name }, { fixes });
  },
);
