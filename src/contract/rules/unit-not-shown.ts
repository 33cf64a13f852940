import { isGiven, placeOf } from '../model.ts';
import { board } from './sample.ts';
import { contractRule } from './rule.ts';

export const unitNotShown = contractRule<{ unit: string; name: string }>(
  {
    code: 'unit-not-shown',
    severity: 'warning',
    title: 'Unit that the name does not show',
    why: 'The boards have been told apart in the contract, but all advertise the same name.',
    source: 'contract language',
    bad: board('name: Bench\nunit: "01"'),
    good: board('name: Bench {unit}\nunit: "01"'),
    message: ({ unit, name }) => `\`unit\` is \`${unit}\`, but the name \`${name}\` does not show it`,
    hint: ({ name }) => `write \`name: ${name} {unit}\``,
  },
  (contract, report) => {
    const { nameTemplate, unit, name, where } = contract.board;
    if (!isGiven(where, 'unit') || unit === '' || nameTemplate.includes('{unit}')) return;
    const fixes = [
      {
        title: 'Show the unit in the name',
        edits: [{ at: placeOf(where, 'name'), text: JSON.stringify(`${name} {unit}`) }],
      },
    ];
    report(placeOf(where, 'unit'), { unit, name }, { fixes });
  },
);
