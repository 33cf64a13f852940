import { beforeAll, describe, expect, it } from 'vitest';
import type { Table } from '../table/model.ts';
import { judge, recordSession } from '../../test/support/ledger-session.ts';
import type { Observation } from './observation.ts';

let table: Table;
let clean: readonly Observation[];

beforeAll(async () => {
  ({ table, observations: clean } = await recordSession(60));
});

describe('the ledger of a clean session', () => {
  it('has no mark, and pairs each crossing with the truth it carried', () => {
    const { entries, marks, ledger } = judge(table, clean);
    expect(marks.slice(0, 20)).toEqual([]);
    const air = entries.filter((entry) => entry.kind === 'air');
    expect(air.length).toBeGreaterThan(3000);
    expect(air.filter(({ version }) => version === undefined)).toEqual([]);
    expect(ledger.values.map(({ definition, counts }) => [definition.id, counts.unjudged])).toEqual(
      table.values.map(({ id }) => [id, 0]),
    );
  });
});
