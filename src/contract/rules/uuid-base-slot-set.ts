import { longUuid } from '../../base/uuid.ts';
import { placeOf } from '../model.ts';
import { contractRule } from './rule.ts';
import { plain } from './sample.ts';

export const uuidBaseSlotSet = contractRule<{ digits: string; use: string }>(
  {
    code: 'uuid-base-slot-set',
    severity: 'note',
    title: 'Digits of the base that do not count',
    why: 'Slots are written over the third and fourth octet, so what stands there is never seen on the air; two bases that differ only there give the same UUIDs.',
    source: 'contract language',
    bad: plain.replace('5f1c0000-', '5f1ca3b7-'),
    good: plain,
    message: ({ digits }) => `\`uuid-base\` has \`${digits}\` in its third and fourth octet, where the slots go`,
    hint: ({ use }) => `write \`uuid-base: ${use}\`; no UUID changes`,
  },
  (contract, report, text) => {
    const { uuidBase, where } = contract;
    const place = where.keys.get('uuid-base')?.value;
    if (uuidBase === undefined || place === undefined) return;
    // A base made from a name cannot be chosen.
    if (/[{:]/.test(text.slice(place.start, place.end))) return;
    const long = longUuid(uuidBase);
    const digits = long.slice(4, 8);
    if (digits === '0000') return;
    const use = `${long.slice(0, 4)}0000${long.slice(8)}`;
    const fixes = [{ title: 'Write zeros there', edits: [{ at: place, text: use }] }];
    report(placeOf(where, 'uuid-base'), { digits, use }, { fixes });
  },
);
