import { placeOf } from '../model.ts';
import { board } from './sample.ts';
import { contractRule } from './rule.ts';
import { setKey } from './edits.ts';

export const unitNotFilled = contractRule<{ name: string }>(
  {
    code: 'unit-not-filled',
    severity: 'warning',
    title: 'Name with an empty unit',
    why: 'The board then advertises a name with a hole in it, the same for every board.',
    source: 'contract language',
    bad: board('name: Bench {unit}'),
    good: board('name: Bench {unit}\nunit: "01"'),
    message: ({ name }) =>
      `\`name\` has a place for \`{unit}\`, but \`unit\` is empty, so the board is called \`${name}\``,
    hint: () => 'add `unit: "01"` to `board`; a kit fills it in for each board',
  },
  (contract, report, text) => {
    const { nameTemplate, unit, name, where } = contract.board;
    if (!nameTemplate.includes('{unit}') || unit.trim() !== '') return;
    report(placeOf(where, 'name'), { name }, { fixes: [setKey(text, where, 'unit', '"01"', 'Call it 01')] });
  },
  { needsWhole: true },
);
