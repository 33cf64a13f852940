import { isShortUuid, longUuid, type Uuid } from '../../base/uuid.ts';
import { isGiven, placeOf } from '../model.ts';
import { contractRule } from './rule.ts';
import { plain } from './sample.ts';
import { uuidHolders } from './holders.ts';

export const uuidMadeByHand = contractRule<{ uuid: string; why: string }>(
  {
    code: 'uuid-made-by-hand',
    severity: 'note',
    title: 'UUID that no generator made',
    why: 'A UUID is unique only if it was drawn at random or made by rule. `12345678-…` has been typed by many, and their clients find your board.',
    source: 'RFC 9562 sections 4.1 and 4.2',
    bad: plain.replace('5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8', '12340000-1234-1234-1234-123456789abc'),
    good: plain,
    message: ({ uuid, why }) => `${uuid} ${why}, so it was hardly drawn at random`,
    hint: () => 'take a UUID from a generator (version 4) unless this one is published already',
  },
  (contract, report) => {
    const { uuidBase, where } = contract;
    const base = uuidBase === undefined ? undefined : oddity(uuidBase);
    if (uuidBase !== undefined && base !== undefined && isGiven(where, 'uuid-base')) {
      report(placeOf(where, 'uuid-base'), { uuid: longUuid(uuidBase), why: base });
    }
    for (const holder of uuidHolders(contract)) {
      const why = oddity(holder.uuid);
      if (why === undefined || !isGiven(holder.where, 'uuid')) continue;
      report(placeOf(holder.where, 'uuid'), { uuid: holder.uuid, why });
    }
  },
);

function oddity(uuid: Uuid): string | undefined {
  if (isShortUuid(uuid)) return undefined;
  const long = longUuid(uuid);
  // The Bluetooth Base UUID's tail is another finding.
  if (long.endsWith('-0000-1000-8000-00805f9b34fb')) return undefined;
  const digits = long.replaceAll('-', '');
  // The slot may be all zeros in a good one.
  if (new Set(digits.slice(8)).size <= 3) return 'is made of a few digits repeated';
  if (!/^[1-8]$/.test(digits[12] ?? '')) return `has version ${digits[12] ?? ''}, but only 1 to 8 exist`;
  if (!/^[89ab]$/.test(digits[16] ?? ''))
    return 'has not the variant of RFC 9562 (first digit of the fourth group 8, 9, a or b)';
  return undefined;
}
