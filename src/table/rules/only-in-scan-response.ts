import { adType } from '../../numbers/ad-types.ts';
import { placeOf } from '../../contract/model.ts';
import { board } from '../../contract/rules/sample.ts';
import type { AdvertisingData } from '../model.ts';
import { advertisedPlace } from './advertised-place.ts';
import { tableRule } from './table-rule.ts';

export const onlyInScanResponse = tableRule<{ what: string; why: string; remedy: string }>(
  {
    code: 'only-in-scan-response',
    severity: 'note',
    title: 'Only a client that asks sees it',
    why: 'The scan response is sent to clients that scan actively. A passive scanner, and a phone in the background, shows the board without it.',
    source: 'Core Vol 6 Part B 4.4.3; common practice',
    bad: board('name: Hydraulics bench {unit}\nunit: "01"'),
    good: board('name: Bench {unit}\nunit: "01"'),
    message: ({ what, why }) => `${what} stands in the scan response only${why}`,
    hint: () =>
      'shorten the name, or advertise less beside it, until it fits into the 31 octets of the advertising data',
  },
  ({ contract, table }, report) => {
    // Appearance and transmit power are only for show.
    for (const { what, why } of table.advertising.cut.filter((cut) => /^(?:name|service UUID)/.test(cut.what))) {
      if (hasName(table.advertising) && what.startsWith('name')) continue;
      const remedy =
        'shorten the name, or advertise less beside it, until both fit into the 31 octets of the advertising data';
      report(advertisedPlace(contract, what), {
        what,
        why: `: ${why.replace(/; it is in the scan response$/, '')}`,
        remedy,
      });
    }
    const { name, where } = contract.radio.advertise;
    if (name === 'scan-response' && hasName(table.scanResponse)) {
      const remedy = 'write `name: auto`, or waive this if every client scans actively';
      report(placeOf(where, 'name'), {
        what: `name \`${contract.board.name}\``,
        why: ', as the contract says',
        remedy,
      });
    }
  },
);

function hasName(data: AdvertisingData): boolean {
  return data.elements.some(({ type }) => type === adType.completeName || type === adType.shortenedName);
}
