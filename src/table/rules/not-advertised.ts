import { board } from '../../contract/rules/sample.ts';
import { advertisedPlace } from './advertised-place.ts';
import { tableRule } from './table-rule.ts';

export const notAdvertised = tableRule<{ what: string; why: string }>(
  {
    code: 'not-advertised',
    severity: 'warning',
    title: 'Advertising data that do not fit',
    why: 'Advertising and scan response hold 31 octets each. What does not fit is not sent, and clients that look for it do not find the board.',
    source: 'Core Vol 3 Part C 11; Vol 6 Part B 2.3.1.1',
    bad: board('name: Bench of the hydraulics laboratory, ground floor {unit}\nunit: "01"'),
    good: board('name: Bench {unit}\nunit: "01"'),
    message: ({ what, why }) => `${what} is cut or left out: ${why}`,
    hint: () => 'shorten it, or advertise less beside it (`radio.advertise`)',
  },
  ({ contract, table }, report) => {
    for (const { what, why } of table.scanResponse.cut) report(advertisedPlace(contract, what), { what, why });
  },
);
