import { placeOf } from '../model.ts';
import { setKey } from './edits.ts';
import { board } from './sample.ts';
import { contractRule } from './rule.ts';

export const nameWithoutUnit = contractRule<{ name: string }>(
  {
    code: 'name-without-unit',
    severity: 'note',
    title: 'Every board of this contract has the same name',
    why: 'With two of them in one room the list shows the same name twice, and a person drives the neighbour’s board.',
    source: 'common practice',
    bad: board('name: Bench'),
    good: board('name: Bench {unit}\nunit: "01"'),
    message: ({ name }) => `all boards of this contract are called \`${name}\``,
    hint: ({ name }) =>
      `write \`name: ${name} {unit}\` and set \`unit\` for each board, or waive this for the only one of its kind`,
  },
  (contract, report, text) => {
    const { nameTemplate, name, unit, where } = contract.board;
    // A unit that is given and not shown is `unit-not-shown`.
    if (!nameTemplate.includes('{unit}') && unit === '') {
      const place = placeOf(where, 'name');
      const unitKey = setKey(text, where, 'unit', '"01"', '');
      const edits = [{ at: place, text: JSON.stringify(`${name} {unit}`) }, ...(unitKey?.edits ?? [])];
      report(place, { name }, { fixes: [{ title: 'Give each board its unit', edits }] });
    }
  },
);
