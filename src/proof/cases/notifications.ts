import type { Table } from '../../table/model.ts';
import type { Case } from '../case.ts';
import { makeCases } from '../make-case.ts';
import { publicationDrafts } from './publications.ts';

/** Do notifications tell each change, to whom asked, at the rate allowed. */
export function notificationCases(table: Table): readonly Case[] {
  const notified = table.values.filter((value) => value.access.includes('notify'));
  return makeCases(
    'notifications',
    notified.flatMap((value) => publicationDrafts(table, value, 'notify')),
  );
}
