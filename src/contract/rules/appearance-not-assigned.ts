import { appearanceLabel } from '../../numbers/appearances.ts';
import { placeOf } from '../model.ts';
import { board } from './sample.ts';
import { contractRule } from './rule.ts';
import { hex16 } from './words.ts';

export const appearanceNotAssigned = contractRule<{ value: string }>(
  {
    code: 'appearance-not-assigned',
    severity: 'warning',
    title: 'Appearance of no known category',
    why: 'Clients choose an icon by it; a number without a meaning shows as unknown today and as something else tomorrow.',
    source: 'Bluetooth SIG Assigned Numbers section 2.6, snapshot 2026-07',
    bad: board('name: Bench {unit}\nunit: "01"\nappearance: 0xF000'),
    good: board('name: Bench {unit}\nunit: "01"\nappearance: generic-sensor'),
    message: ({ value }) => `appearance ${value} lies in no assigned category`,
    hint: () => 'write an assigned name such as `generic-sensor`, or leave `appearance` out',
  },
  (contract, report) => {
    const { appearance, where } = contract.board;
    if (appearanceLabel(appearance) === 'not assigned')
      report(placeOf(where, 'appearance'), { value: hex16(appearance) });
  },
);
