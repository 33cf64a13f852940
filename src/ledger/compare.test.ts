import { beforeAll, describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import type { Table } from '../table/model.ts';
import { arrivalFaults } from '../../test/support/ledger-faults.ts';
import { judge, recordSession } from '../../test/support/ledger-session.ts';
import { compareSessions, Digester, type SessionDigest } from './compare.ts';
import type { Observation } from './observation.ts';
import { marksOf, reportLedger } from './report.ts';

let table: Table;
let clean: readonly Observation[];

beforeAll(async () => {
  ({ table, observations: clean } = await recordSession(6));
});

function digest(observations: readonly Observation[]): SessionDigest {
  const { ledger, entries } = judge(table, observations);
  const digester = new Digester(table.values.map(({ id }) => id));
  for (const entry of entries) digester.take(entry);
  return digester.digest(reportLedger(ledger));
}

describe('comparing two recordings', () => {
  it('finds none in the same one', () => {
    expect(compareSessions(digest(clean), digest(clean))).toEqual([]);
  });

  it('finds a value that did not come, and the mark it left', () => {
    const { observations } = arrivalFaults.lost('count')(clean, 4_000_000, 0)!;
    const differences = compareSessions(digest(clean), digest(observations));
    expect(differences.map(({ id, what }) => `${id} ${what}`)).toEqual([
      expect.stringMatching(/^count what crossed the air, from number \d+ on$/),
      'count notifications',
      'count marked lost',
    ]);
    expect(differences[2]).toMatchObject({ first: '0', second: '1' });
  });

  it('finds delays that differ', () => {
    const slow = clean.map((one) =>
      one.kind === 'notified' && one.id === 'count' ? { ...one, at: us(one.at + 8000) } : one,
    );
    const differences = compareSessions(digest(clean), digest([...slow].sort((a, b) => a.at - b.at)));
    expect(differences).toEqual([
      { id: 'count', what: 'delay from the board to the central, median', first: '15.0 ms', second: '23.0 ms' },
    ]);
  });

  it('finds values that only one contract has', () => {
    const a = digest(clean);
    const without = { ...a, report: { ...a.report, values: a.report.values.slice(1) } };
    expect(compareSessions(a, without)).toEqual([
      { id: 'count', what: 'value', first: 'there', second: 'not in its contract' },
    ]);
    expect(compareSessions(without, a)[0]).toMatchObject({ first: 'not in its contract', second: 'there' });
  });
});

describe('the report', () => {
  it('says what there is, with the bars of the delays', () => {
    const report = reportLedger(judge(table, clean).ledger);
    expect(report.marks).toBe(0);
    expect(report.clock).toMatchObject({ bounded: true });
    const count = report.values[0]!;
    expect(count.delays.down.bars).toEqual([{ from: 10_000, to: 20_000, count: count.counts.notified }]);
    expect(marksOf(count.counts)).toEqual([]);
  });
});
