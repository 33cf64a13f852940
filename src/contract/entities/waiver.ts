import { looseList } from '../shapes/composite.ts';
import { byDefault, record, required, whole } from '../shapes/record.ts';
import { text } from '../shapes/scalars.ts';
import type { Waiver } from '../model.ts';
import { map, type Field, type Shape } from '../shapes/shape.ts';

const waiverRecord = record(
  {
    id: 'waiver',
    called: 'a waiver',
    intro:
      'Silences one kind of warning or note within the entity it stands in, with a written reason. Errors cannot be waived.',
  },
  {
    finding: required(text(64), 'Code of the warning or note.', 'notify-without-rate'),
    because: required(
      text(500),
      'The reason, for whoever reads the contract next.',
      '"one notification per button press"',
    ),
  },
);

const waivers: Shape<readonly Waiver[]> = looseList(
  map(whole(waiverRecord), ({ finding, because }, node): Waiver => ({ finding, because, at: node.at })),
  'a list of waivers',
);

/** The `waive` key of any entity. */
export const waiveField: Field<readonly Waiver[]> = byDefault(
  waivers,
  [],
  '[]',
  'Warnings and notes that are known and accepted here.',
  '[{ finding: notify-without-rate, because: "a person presses the button" }]',
);
