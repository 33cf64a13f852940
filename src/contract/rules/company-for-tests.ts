import { placeOf } from '../model.ts';
import { radio } from './sample.ts';
import { contractRule } from './rule.ts';

export const companyForTests = contractRule<Record<string, never>>(
  {
    code: 'company-for-tests',
    severity: 'note',
    title: 'Company identifier for tests',
    why: '0xFFFF is for trials before an identifier is assigned and must not leave the house in a product; every other trial uses it too.',
    source: 'Bluetooth SIG Assigned Numbers section 7.1',
    bad: radio('advertise: { manufacturer-data: { company: 0xFFFF, data: "01" } }'),
    good: radio('advertise: { interval: 100 ms }'),
    message: () => 'the manufacturer data use company identifier 0xFFFF, which is for trials only',
    hint: () => 'write the identifier that is assigned to you, or waive this for a board that stays in the lab',
  },
  (contract, report) => {
    const { manufacturerData, where } = contract.radio.advertise;
    if (manufacturerData?.company === 0xffff) report(placeOf(where, 'manufacturer-data'), {});
  },
);
