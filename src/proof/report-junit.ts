import { allCases, type ExchangeLine, type Report, type ReportCase, type ReportFamily } from './report.ts';

/**
 * The proof as JUnit XML, as continuous integration servers read it: a suite for each family. What could not be reached is
 * skipped; what was inconclusive, or broke of itself, is an error and not a failure. Times are seconds of the link's clock.
 */
export function reportJunit(report: Report): string {
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="${escapeXml(`${report.board}: ${report.link}`)}" ${totals(allCases(report))}>`,
    ...report.families.flatMap((family) => suite(report, family)),
    '</testsuites>',
  ];
  return `${lines.join('\n')}\n`;
}

function suite(report: Report, { family, title, cases }: ReportFamily): readonly string[] {
  return [
    `  <testsuite name="${family}" ${totals(cases)}>`,
    '    <properties>',
    ...[
      ['asks', title],
      ['contract', report.file],
      ['database-hash', report.databaseHash],
      ['seed', String(report.seed)],
    ].map(([name = '', value = '']) => `      <property name="${name}" value="${escapeXml(value)}"/>`),
    '    </properties>',
    ...cases.flatMap((one) => testCase(report, one)),
    '  </testsuite>',
  ];
}

function testCase(report: Report, one: ReportCase): readonly string[] {
  const head =
    `    <testcase classname="${one.family}" name="${escapeXml(one.id)}" time="${seconds(one.took)}" ` +
    `file="${escapeXml(report.file)}" line="${one.place.line}"`;
  if (one.verdict === 'passed') return [`${head}/>`];
  const text = escapeXml(
    [
      one.about,
      `expected: ${one.expected}`,
      `seen: ${one.seen}`,
      `at ${report.file}:${one.place.line}:${one.place.column}`,
      ...one.exchange.map(exchangeText),
    ].join('\n'),
  );
  return [`${head}>`, outcome(one, text), '    </testcase>'];
}

function outcome(one: ReportCase, text: string): string {
  const message = escapeXml(one.seen);
  switch (one.verdict) {
    case 'not-reachable':
      return `      <skipped message="${message}"/>`;
    case 'failed':
      return one.bug
        ? `      <error type="bug" message="${message}">${text}</error>`
        : `      <failure type="failed" message="${message}">${text}</failure>`;
    case 'inconclusive':
      return `      <error type="inconclusive" message="${message}">${text}</error>`;
    case 'passed':
      return '';
  }
}

function exchangeText(line: ExchangeLine): string {
  if (line.kind === 'left-out') return `... ${line.count} left out ...`;
  if (line.kind === 'word') return `${seconds(line.at)} s ${line.by}: ${line.about}`;
  return `${seconds(line.at)} s ${line.from === 'central' ? '->' : '<-'} ${line.hex} ${line.about}`;
}

function totals(cases: readonly ReportCase[]): string {
  const errors = cases.filter(({ verdict, bug }) => verdict === 'inconclusive' || bug).length;
  const failures = cases.filter(({ verdict, bug }) => verdict === 'failed' && !bug).length;
  const skipped = cases.filter(({ verdict }) => verdict === 'not-reachable').length;
  const time = seconds(cases.reduce((sum, one) => sum + one.took, 0));
  return `tests="${cases.length}" failures="${failures}" errors="${errors}" skipped="${skipped}" time="${time}"`;
}

function seconds(time: number): string {
  return (time / 1_000_000).toFixed(6);
}

/** Text and attribute values; a character that XML 1.0 cannot hold (its section 2.2) is shown as U+FFFD. */
function escapeXml(text: string): string {
  return text
    .replace(/(?![\t\n\r])[\p{Cc}\p{Cs}\ufffe\uffff]/gu, '\ufffd')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&apos;');
}
