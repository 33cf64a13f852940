import { compareSessions, Digester, type SessionDigest } from '../../ledger/compare.ts';
import { reportText } from '../../ledger/report-text.ts';
import { reportLedger } from '../../ledger/report.ts';
import { textColumns } from '../../table/text-columns.ts';
import { required, type Run } from '../command.ts';
import type { Io } from '../io.ts';
import { openSession } from '../open-session.ts';

export const run: Run = async (input, io) => {
  const json = input.option('format') === 'json';
  const path = required(input, 'SESSION');
  const other = input.option('against');
  if (other === undefined) {
    const { ledger } = await openSession(path, io);
    const report = reportLedger(ledger);
    io.out(
      json
        ? `${JSON.stringify(report, undefined, 2)}\n`
        : reportText(report, { columns: io.columns, palette: io.outPalette }),
    );
    return report.marks === 0 ? 0 : 1;
  }
  const differences = compareSessions(await digested(path, io), await digested(other, io));
  if (json) {
    io.out(`${JSON.stringify({ first: path, second: other, differences }, undefined, 2)}\n`);
  } else if (differences.length === 0) {
    io.out('no difference in values, counts, marks and delays\n');
  } else {
    const table = textColumns(
      [
        { heading: 'value', widest: 24 },
        { heading: 'what', widest: 44 },
        { heading: 'first', widest: 24 },
      ],
      'second',
      differences.map(({ id, what, first, second }) => [id, what, first, second]),
      io.columns,
    );
    io.out(`${io.outPalette.strong(table.heading)}\n${table.rows.flat().join('\n')}\n`);
  }
  return differences.length === 0 ? 0 : 1;
};

async function digested(path: string, io: Io): Promise<SessionDigest> {
  let digester: Digester | undefined;
  const { ledger } = await openSession(path, io, {
    onBegin: (_, table) => {
      digester = new Digester(table.values.map(({ id }) => id));
    },
    onEntry: (entry) => digester?.take(entry),
  });
  digester ??= new Digester([]);
  return digester.digest(reportLedger(ledger));
}
