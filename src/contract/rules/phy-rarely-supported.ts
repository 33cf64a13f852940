import { placeOf } from '../model.ts';
import { replaceValue } from './edits.ts';
import { contractRule } from './rule.ts';
import { radio } from './sample.ts';

export const phyRarelySupported = contractRule<{ phy: string }>(
  {
    code: 'phy-rarely-supported',
    severity: 'note',
    title: 'PHY that few clients have',
    why: 'A PHY is agreed between both sides. Few phones and computers have the coded PHY; with the others the link stays on 1M, with its range.',
    source: 'Core Vol 6 Part B 4.6; common practice',
    bad: radio('connection: { phy: coded-s8 }'),
    good: radio('connection: { phy: 1M }'),
    message: ({ phy }) => `the contract counts on PHY \`${phy}\`, which few phones and computers have`,
    hint: () => 'write `phy: 1M`, or waive this with the central that is meant',
  },
  (contract, report) => {
    const { phy, where } = contract.radio.connection;
    if (phy !== 'coded-s2' && phy !== 'coded-s8') return;
    report(placeOf(where, 'phy'), { phy }, { fixes: [replaceValue(where, 'phy', '1M', 'Use 1M')] });
  },
);
